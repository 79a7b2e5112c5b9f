-- A gate that a person shut stays shut over days: every day asks for these, of all that was ever done about causes.
create index action_on_gates on causes.action (id) where action in ('shut-gate', 'open-gate');
