-- Lists, counts and searches are answered from these alone; a body is read only for what is shown.
DROP INDEX record_by_sort;
DROP INDEX record_by_owner;
DROP INDEX record_by_state;
CREATE INDEX record_by_sort ON record (kind, sort, id, archived, words);
CREATE INDEX record_by_owner ON record (kind, owner, archived, state, sort, id);
CREATE INDEX record_by_state ON record (kind, state, archived, sort, id);
