package org.tenmesh.web.days;

import java.util.List;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;

/** Judges days for the pages. */
public interface Judge {
    /** The judge of the house. */
    Judge HOUSE = new Judge() {
        @Override
        public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
            return DayJudge.judge(day, methods, earlier);
        }

        @Override
        public DayStage judge(Day day, MethodBook methods, EarlierSoils earlier, Stages before) {
            return DayJudge.judge(day, methods, earlier, before);
        }

        @Override
        public JudgedDay alone(Day day, MethodBook methods, Run run, Stages before) {
            return DayJudge.alone(day, methods, run, before);
        }

        @Override
        public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
            return DayJudge.story(day, methods, judged, result);
        }
    };

    JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier);

    /** The same with what was made when the day was judged before. */
    default DayStage judge(Day day, MethodBook methods, EarlierSoils earlier, Stages before) {
        return new DayStage(DayJudge.key(day, methods, earlier), judge(day, methods, earlier), Stages.NONE);
    }

    /** One run of a day by what it carries itself. */
    default JudgedDay alone(Day day, MethodBook methods, Run run, Stages before) {
        return judge(day.withRuns(List.of(run)), methods, EarlierSoils.NONE);
    }

    /** How one number was made. */
    Story story(Day day, MethodBook methods, JudgedDay judged, Result result);
}
