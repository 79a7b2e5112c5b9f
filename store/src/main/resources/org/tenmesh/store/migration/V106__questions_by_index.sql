-- Who worked on a submission is asked at each release: answered without reading what was noted in all the years before.
create index act_that_takes_back on bench.act (about) where what = 'taken-back';
create index act_that_loads on bench.act (about) where what = 'loaded';
create index act_of_soil on bench.act (code) where kind = 'soil';

-- What was done with a box, where it stood before among it.
create index act_of_box on shelf.act (about, seq) where what in ('box-made', 'box-put');
