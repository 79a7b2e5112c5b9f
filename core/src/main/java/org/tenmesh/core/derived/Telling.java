package org.tenmesh.core.derived;

import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;

/** Tells how a result that was read came to be. */
public interface Telling {
    /** Its story. */
    Story of(Result result);
}
