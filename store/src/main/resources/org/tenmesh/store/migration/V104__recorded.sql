-- A piece of the record of a charge that the recorder of its device sent: the arrival that it came in, none where it was typed or dropped.
alter table custody.charge_record add column arrival bigint constraint charge_record_arrival_once unique references capture.arrival;
