-- Preparation: what lies on a rack, weighings, coarse fragments, the mill and its cleaning are notes at the bench like all others, with numbers beside
-- the words. Numbers stand as one text, each with its word: "place 3.0, mass-g 102.4".
alter table bench.act add column measured text not null default '' check (char_length(measured) <= 500);
alter table bench.act drop constraint act_kind_check;
alter table bench.act add constraint act_kind_check check (kind in ('tray', 'soil', 'rack', 'equipment'));
alter table bench.act drop constraint act_what_check;
alter table bench.act add constraint act_what_check check (what in
    ('begun', 'done', 'spilt', 'too-little', 'wrong-tray', 'loaded', 'weighed', 'coarse', 'cleaned', 'taken-back'));
alter table bench.act drop constraint act_check;
alter table bench.act add constraint act_check check ((kind in ('rack', 'equipment')) = (day is null));
create index on bench.act (about) where step = 'rack.grind';
