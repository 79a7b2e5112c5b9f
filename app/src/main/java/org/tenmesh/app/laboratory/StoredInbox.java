package org.tenmesh.app.laboratory;

import java.time.OffsetDateTime;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.Recorded;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.live.Taken;
import org.tenmesh.store.orders.KeptOrder;

/** The inbox of a laboratory: its store. What the store does not know, such as a lab number that nobody gave out, is refused. */
final class StoredInbox implements Inbox {
    private static final int MOST_NAMED = 3;
    private static final int MOST_ORDERS = 500;
    private static final int MOST_REMEMBERED = 200_000;

    private final Store store;
    private final Set<String> seen = ConcurrentHashMap.newKeySet();

    StoredInbox(Store store) {
        this.store = store;
    }

    @Override
    public Answer take(Piece piece) {
        return asked(() -> {
            Set<String> unknown = new TreeSet<>();
            for (org.tenmesh.capture.pieces.RunPart part : piece.parts()) {
                unknown.addAll(unknown(part.run()));
            }
            if (!unknown.isEmpty()) {
                List<String> some = unknown.stream().limit(MOST_NAMED).toList();
                return new Refused(String.join(", ", some)
                        + (unknown.size() > MOST_NAMED ? " and " + (unknown.size() - MOST_NAMED) + " more" : "")
                        + ": expected lab numbers, standards and materials that the laboratory knows");
            }
            try {
                Taken taken = store.arrivals()
                        .take(
                                new Arrival(
                                        piece.source(),
                                        piece.key(),
                                        piece.name(),
                                        piece.receivedAt(),
                                        piece.bytes(),
                                        piece.parts().stream()
                                                .map(part -> new RunPart(part.run(), part.last()))
                                                .toList(),
                                        piece.temperatures().map(some -> new Recorded(some.device(), some.points())),
                                        piece.setAside()),
                                piece.actor());
                return taken.before() ? new KeptBefore() : new Kept();
            } catch (org.tenmesh.store.rows.Refused refused) {
                return new Refused(String.valueOf(refused.getMessage()));
            }
        });
    }

    /** What a run names and nobody has told the laboratory of. */
    private Set<String> unknown(Run run) {
        Readings readings = run.readings();
        Set<LabNumber> soils = new HashSet<>();
        Set<String> unknown = new TreeSet<>();
        for (int i = 0; i < readings.size(); i++) {
            String identity = readings.identity(i);
            Role role = readings.role(i);
            if (role == Role.BLANK || role == Role.WASH || seen.contains(key(run, role, identity))) {
                continue;
            }
            boolean known = switch (role) {
                case SAMPLE, DUPLICATE -> {
                    Optional<LabNumber> labNumber = labNumber(identity);
                    labNumber.ifPresent(soils::add);
                    yield labNumber.isPresent();
                }
                case CONTROL -> store.record().knowsMaterial(Laboratory.OWN_REGISTER, identity);
                default -> store.record().knowsStandard(Laboratory.OWN_REGISTER, run.method(), identity);
            };
            if (!known) {
                unknown.add(role.word() + " " + identity);
            } else if (role != Role.SAMPLE && role != Role.DUPLICATE) {
                remember(key(run, role, identity));
            }
        }
        Set<LabNumber> there = soils.isEmpty() ? Set.of() : store.record().known(Laboratory.OWN_REGISTER, soils);
        for (LabNumber soil : soils) {
            if (there.contains(soil)) {
                remember(key(run, Role.SAMPLE, soil.text()));
                remember(key(run, Role.DUPLICATE, soil.text()));
            } else {
                unknown.add("lab number " + soil.text());
            }
        }
        return unknown;
    }

    private static Optional<LabNumber> labNumber(String text) {
        try {
            return Optional.of(new LabNumber(text));
        } catch (IllegalArgumentException none) {
            return Optional.empty();
        }
    }

    private static String key(Run run, Role role, String identity) {
        return switch (role) {
            case SAMPLE, DUPLICATE, CONTROL -> role.word() + " " + identity;
            default -> run.method() + " " + role.word() + " " + identity;
        };
    }

    private void remember(String key) {
        if (seen.size() < MOST_REMEMBERED) {
            seen.add(key);
        }
    }

    @Override
    public Optional<Known> known(String source, String key) {
        return asked(
                () -> store.arrivalRecord().known(source, key).map(one -> new Known(one.sha256(), one.setAside())));
    }

    @Override
    public Optional<Before> before(String sha256) {
        return asked(() -> store.arrivalRecord()
                .firstRead(sha256)
                .map(one -> new Before(one.source(), one.name(), one.receivedAt())));
    }

    @Override
    public Optional<Stored> run(String instrument, String run, OffsetDateTime startedAt) {
        return asked(() -> store.arrivalRecord()
                .underWay(run)
                .filter(one -> one.instrument().equals(instrument))
                .map(one -> new Stored(one, false))
                .or(() -> store.arrivalRecord()
                        .ended(instrument, run, startedAt.toLocalDate(), startedAt.getOffset())
                        .map(one -> new Stored(one, true))));
    }

    @Override
    public Optional<Run> underWay(String instrument, String method) {
        return asked(() -> store.arrivalRecord().underWay(instrument, method));
    }

    @Override
    public List<RunOrder> waiting(String instrument, String method) {
        return asked(() -> store.runOrders().newest(MOST_ORDERS).stream()
                .filter(KeptOrder::open)
                .map(KeptOrder::order)
                .filter(order ->
                        order.instrument().equals(instrument) && order.method().equals(method))
                .sorted(Comparator.comparing(order -> order.madeAt().toInstant()))
                .toList());
    }

    @Override
    public Optional<RunOrder> order(String name) {
        return asked(() -> store.runOrders()
                .find(name)
                .filter(kept -> kept.cancelled().isEmpty())
                .map(KeptOrder::order));
    }

    @Override
    public List<Listed> newest(String source, int most) {
        return asked(() -> store.arrivals().newest(source, most).stream()
                .map(one -> new Listed(
                        one.source(),
                        one.key(),
                        one.name(),
                        one.receivedAt(),
                        one.sha256(),
                        one.bytes(),
                        one.runs(),
                        one.readings(),
                        one.setAside(),
                        one.actor()))
                .toList());
    }

    @Override
    public Optional<byte[]> bytes(String source, String key) {
        return asked(() -> store.arrivals().bytes(source, key));
    }

    @Override
    public void note(String actor, String what, String source, Map<String, String> detail) {
        asked(() -> store.note(actor, what, source, detail));
    }

    /** Whatever fails now may go well later: whoever sends keeps what is not durable. */
    private static <T> T asked(Supplier<T> question) {
        try {
            return question.get();
        } catch (RuntimeException failed) {
            throw new NotNow(
                    String.valueOf(failed.getMessage()).lines().findFirst().orElse(""), failed);
        }
    }
}
