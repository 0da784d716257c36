-- Who may come in. Of every secret only a digest is kept.
CREATE TABLE login (
  person TEXT PRIMARY KEY,
  name   TEXT NOT NULL UNIQUE,
  secret TEXT NOT NULL
);
CREATE TABLE pass (
  digest TEXT PRIMARY KEY,
  use    TEXT NOT NULL,
  person TEXT NOT NULL,
  label  TEXT NOT NULL,
  grants TEXT NOT NULL,
  made   BIGINT NOT NULL,
  seen   BIGINT NOT NULL,
  ends   BIGINT NOT NULL
);
CREATE INDEX pass_of_person ON pass (person, use);

CREATE TABLE photo (
  id      TEXT PRIMARY KEY,
  kind    TEXT NOT NULL,
  thing   TEXT NOT NULL,
  who     TEXT NOT NULL,
  width   BIGINT NOT NULL,
  height  BIGINT NOT NULL,
  made    BIGINT NOT NULL,
  removed BIGINT
);
CREATE INDEX photo_of_thing ON photo (kind, thing);
