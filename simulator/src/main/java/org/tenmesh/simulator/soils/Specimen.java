package org.tenmesh.simulator.soils;

import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;

/**
 * What lies under one lab number.
 *
 * @param content what it truly holds
 * @param material the control soil it is, when it is a hidden control
 */
public record Specimen(LabNumber number, SoilContent content, Optional<String> material) {}
