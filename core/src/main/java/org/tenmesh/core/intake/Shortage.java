package org.tenmesh.core.intake;

/**
 * A portion that could not be taken because the client sent too little soil.
 *
 * @param method id of the method that gets none
 */
public record Shortage(LabNumber labNumber, String method) {}
