/**
 * An invented soil laboratory that makes whole days with known truth and planted faults.
 *
 * <pre>{@code
 * Scenario scenario = Scenario.of(7, 600, LocalDate.of(2026, 11, 25)).with(Fault.parse("drift@ICP1-01"));
 * SimulatedDay simulated = Simulator.simulate(scenario);
 * DayFolder.write(simulated.day(), folder);
 * simulated.truth().write(besideTheFolder);
 * }</pre>
 */
@NullMarked
package org.tenmesh.simulator;

import org.jspecify.annotations.NullMarked;
