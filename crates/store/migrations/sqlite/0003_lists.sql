-- Lists, counts and searches are answered from these; a body is read only for what is shown. What is put away is seldom
-- looked for and lies in none of them.
DROP INDEX record_by_sort;
DROP INDEX record_by_owner;
DROP INDEX record_by_state;
DROP INDEX record_by_link;
CREATE INDEX record_by_sort ON record (kind, sort, id, words) WHERE archived IS NULL;
CREATE INDEX record_by_owner ON record (kind, owner, state, sort, id) WHERE archived IS NULL;
CREATE INDEX record_by_state ON record (kind, state, sort, id) WHERE archived IS NULL;
CREATE INDEX record_by_link ON record (kind, link, sort, id) WHERE archived IS NULL;
