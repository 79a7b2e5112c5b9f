package org.tenmesh.web.days;

import java.time.Clock;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.MethodBook;

/**
 * The judgements that the store keeps for later days, whose charts and relations learn from them, each under the key of everything it was
 * judged by. Pages do not wait for them; what is missing is made again.
 */
final class KeptDays {
    private static final Logger LOG = LoggerFactory.getLogger(KeptDays.class);

    /** Earlier days whose kept judgement is held against its key: charts and relations look back on no more (a year of working days). */
    private static final int CHECKED = 250;

    private final Clock clock;
    private final LaboratoryStore store;
    private final MethodBook methods;
    private final Judge judge;
    /** Earlier days, as they are, whose kept judgement has the key that it would have today. */
    private final Set<LaboratoryStore.Mark> checked = new HashSet<>();

    KeptDays(LaboratoryStore store, MethodBook methods, Judge judge, Clock clock) {
        this.clock = clock;
        this.store = store;
        this.methods = methods;
        this.judge = judge;
    }

    /** Whether a judgement of this day is kept, and nothing was added to the day since it was held against its key. */
    boolean has(LaboratoryStore.Mark day) {
        boolean added = checked.stream().anyMatch(known -> known.day().equals(day.day()) && !known.equals(day));
        return checked.contains(day) || !added && store.judgedKey(day.day()).isPresent();
    }

    /** Keeps a judgement that was made just now. */
    void keep(LaboratoryStore.Mark day, String key, JudgedDay judged) {
        keep(day.day(), key, judged);
        checkedNow(day);
    }

    private void keep(String name, String key, JudgedDay judged) {
        // While runs are under way the judgement changes all the time, and what they wait for is not kept.
        if (!judged.underWay().isEmpty()) {
            return;
        }
        try {
            store.keep(name, key, judged);
        } catch (RuntimeException e) {
            LOG.warn("what was judged of day {} could not be kept; charts of later days will lack it", name, e);
        }
    }

    /** Keeps what new readings say of the causes of a day; the desk as it was handed in. */
    Desk answered(Desk desk) {
        try {
            store.keepAnswers(desk.name(), desk.answers(), clock.instant());
        } catch (RuntimeException e) {
            LOG.warn("what was read again of causes of day {} could not be kept; the record lacks it", desk.name(), e);
        }
        return desk;
    }

    private void checkedNow(LaboratoryStore.Mark day) {
        checked.removeIf(known -> known.day().equals(day.day()));
        checked.add(day);
    }

    /** The oldest of the earlier days that was not held against its key yet. */
    Optional<LaboratoryStore.Mark> next(List<LaboratoryStore.Mark> days, List<NotJudged> failed) {
        return days.stream()
                .skip(1)
                .limit(CHECKED)
                .filter(day -> !checked.contains(day) && !NotJudged.names(day, failed))
                .reduce((newer, older) -> older);
    }

    /**
     * Holds an earlier day against the key that its judgement is kept under, and judges it again when it has another key by now: another
     * policy, method, history, earlier soils or engine.
     *
     * @return whether it was judged again
     */
    boolean judgedAnew(LaboratoryStore.Mark day) {
        checkedNow(day);
        try {
            DayInputs its = DayInputs.of(store, day.day(), Optional.empty());
            if (store.judgedKey(day.day()).equals(Optional.of(its.key(methods)))) {
                return false;
            }
            DayStage made = judge.judge(its.day(), methods, its.earlier(), Stages.NONE);
            keep(day.day(), made.key(), made.judged());
            LOG.info("day {} was judged again: what it is judged by is not what it was", day.day());
            return true;
        } catch (RuntimeException e) {
            LOG.warn("the kept judgement of day {} could not be held against its key; it stays as it is", day.day(), e);
            return false;
        }
    }
}
