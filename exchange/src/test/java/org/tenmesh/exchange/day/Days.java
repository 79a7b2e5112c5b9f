package org.tenmesh.exchange.day;

import java.time.OffsetDateTime;
import java.util.List;
import java.util.SplittableRandom;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.made.AshgroveDay;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** The Ashgrove day read in three runs for each block of 300 soils, as a day folder holds it; the numbers mean nothing. */
public final class Days {
    private static final OffsetDateTime MORNING = OffsetDateTime.parse("2026-11-25T07:00:00+01:00");
    private static final String[] LINES = {
        "P 213.618",
        "K 766.491",
        "Ca 430.253",
        "Mg 285.213",
        "Na 589.592",
        "S 181.972",
        "B 249.772",
        "Cu 324.754",
        "Fe 259.940",
        "Mn 257.610",
        "Zn 213.857",
        "Al 394.401",
        "Y 371.029"
    };

    private Days() {}

    public static Day of(int soils, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        MadeDay day = AshgroveDay.of(soils);
        for (int from = 1, block = 1; from <= soils; from += 300, block++) {
            int to = Math.min(soils, from + 299);
            day.run(ph("PH-" + block, from, to, random));
            day.run(loi("LOI-" + block, from, to, random));
            day.run(icp("ICP-" + block, from, to, random));
        }
        return day.laboratory(MadeLaboratory.like(day.day().laboratory())
                        .policy(Policy.defaults()
                                .named("2026-11-02")
                                .with(Setting.CONTROL_FALSE_ALARM, 0.005)
                                .with(Setting.RETENTION_DAYS, 35))
                        .laboratory())
                .day();
    }

    private static MadeRun run(String name, String method, String instrument) {
        return MadeRun.of(name, method).instrument(instrument).startedAt(MORNING);
    }

    private static Run ph(String name, int from, int to, SplittableRandom random) {
        MadeRun run = run(name, "ph-water-1-1", "pH-A").operator("Ida");
        for (String buffer : List.of("4.01", "7.00")) {
            for (int probe = 1; probe <= 4; probe++) {
                probe(run.at(Role.STANDARD, buffer), probe, random);
            }
        }
        for (int i = from; i <= to; i++) {
            run.at(Role.SAMPLE, MadeDay.lab(i).text());
            probe(run, 1 + (run.position() - 1) % 4, random);
        }
        return run.run();
    }

    private static void probe(MadeRun run, int probe, SplittableRandom r) {
        run.channel(Integer.toString(probe))
                .clock(MORNING.plusSeconds(20L * ((run.position() - 1) / 4)))
                .read("potential", places(r.nextDouble(-120, 180), 1), Unit.MILLIVOLT)
                .read("temperature", places(r.nextDouble(21, 24), 1), Unit.CELSIUS);
    }

    private static Run loi(String name, int from, int to, SplittableRandom r) {
        MadeRun run = run(name, "om-loi-360", "LOI-A");
        for (int i = from - 5; i <= to; i++) {
            boolean known = i < from;
            run.at(
                    known ? Role.CONTROL : Role.SAMPLE,
                    known ? "LOAM-A" : MadeDay.lab(i).text());
            OffsetDateTime at = MORNING.plusSeconds(9L * run.position());
            run.channel(Integer.toString(1 + (run.position() - 1) % 4))
                    .clock(at)
                    .read("tare", places(r.nextDouble(18, 22), 4), Unit.GRAM)
                    .clock(at.plusHours(3))
                    .read("dry", places(r.nextDouble(23, 26), 4), Unit.GRAM)
                    .clock(at.plusHours(23))
                    .read("ash", places(r.nextDouble(22, 25), 4), Unit.GRAM);
        }
        return run.run();
    }

    private static Run icp(String name, int from, int to, SplittableRandom r) {
        MadeRun run = run(name, "mehlich3-icp", "ICP-A").operator("Jo").channel("");
        lines(run.at(Role.STANDARD, "STD-1"), r);
        lines(run.at(Role.BLANK, "blank"), r);
        for (int i = from; i <= to; i++) {
            lines(run.at(Role.SAMPLE, MadeDay.lab(i).text()).diluted(i % 100 == 0 ? 5 : 1), r);
        }
        return run.run();
    }

    private static void lines(MadeRun run, SplittableRandom r) {
        run.clock(MORNING.plusNanos(41_250_000_000L * run.position()));
        for (String line : LINES) {
            run.read(line, places(r.nextDouble(200, 2_000_000), 1), Unit.PER_SECOND);
        }
    }

    private static double places(double value, int decimals) {
        double scale = Math.pow(10, decimals);
        return Math.rint(value * scale) / scale;
    }

    /** Readings have no equals of their own; two are the same when every row is. */
    public static boolean same(Readings a, Readings b) {
        if (a.size() != b.size()) {
            return false;
        }
        for (int i = 0; i < a.size(); i++) {
            if (a.position(i) != b.position(i)
                    || a.role(i) != b.role(i)
                    || !a.identity(i).equals(b.identity(i))
                    || !a.channel(i).equals(b.channel(i))
                    || !a.quantity(i).equals(b.quantity(i))
                    || Double.doubleToLongBits(a.value(i)) != Double.doubleToLongBits(b.value(i))
                    || a.unit(i) != b.unit(i)
                    || !a.at(i).equals(b.at(i))
                    || a.dilution(i) != b.dilution(i)) {
                return false;
            }
        }
        return true;
    }
}
