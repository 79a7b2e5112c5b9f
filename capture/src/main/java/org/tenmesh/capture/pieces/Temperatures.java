package org.tenmesh.capture.pieces;

import java.util.List;
import org.tenmesh.core.custody.Charge;

/**
 * What the recorder of a device sent.
 *
 * @param device the oven, autoclave or incinerator
 */
public record Temperatures(String device, List<Charge.Point> points) {
    public Temperatures {
        points = List.copyOf(points);
    }
}
