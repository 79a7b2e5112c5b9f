package org.tenmesh.web.intake;

import org.tenmesh.core.dock.Booking;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;

/** A submission that waits for its layout: its worksheet, what is in it, and how it stands at the dock. */
record AtDock(KeptSheet kept, SheetReader.Sheet read, Booking booking) {}
