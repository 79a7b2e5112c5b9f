package org.tenmesh.capture.links;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.io.IOException;
import org.tenmesh.capture.settings.Source;

/** Opens a serial port; one that is gone is tried again. */
final class SerialOpener implements Opener {
    private final Source.Port place;

    SerialOpener(Source.Port place) {
        this.place = place;
    }

    @Override
    public Connection open() throws IOException {
        SerialPort port;
        try {
            port = SerialPort.getCommPort(place.port());
        } catch (SerialPortInvalidPortException absent) {
            throw new IOException("there is no serial port " + place.port(), absent);
        }
        int stop = place.stopBits() == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT;
        int parity = switch (place.parity()) {
            case EVEN -> SerialPort.EVEN_PARITY;
            case ODD -> SerialPort.ODD_PARITY;
            case NONE -> SerialPort.NO_PARITY;
        };
        port.setComPortParameters(place.baud(), place.dataBits(), stop, parity);
        if (!port.openPort()) {
            throw new IOException(
                    "serial port " + place.port() + " cannot be opened: it is not there, in use by another"
                            + " program, or not allowed to this user (system error " + port.getLastErrorCode() + ")");
        }
        return new SerialConnection(port, place.port());
    }

    @Override
    public String waits() {
        return "opens serial port " + place.port();
    }

    @Override
    public void close() {
        // opening does not wait
    }
}
