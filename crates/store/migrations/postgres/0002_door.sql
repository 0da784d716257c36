-- Who may come in. Of every secret only a digest is kept.
CREATE TABLE login (
  person TEXT COLLATE "C" PRIMARY KEY,
  name   TEXT COLLATE "C" NOT NULL UNIQUE,
  secret TEXT COLLATE "C" NOT NULL
);
CREATE TABLE pass (
  digest TEXT COLLATE "C" PRIMARY KEY,
  use    TEXT COLLATE "C" NOT NULL,
  person TEXT COLLATE "C" NOT NULL,
  label  TEXT COLLATE "C" NOT NULL,
  grants TEXT COLLATE "C" NOT NULL,
  made   BIGINT NOT NULL,
  seen   BIGINT NOT NULL,
  ends   BIGINT NOT NULL
);
CREATE INDEX pass_of_person ON pass (person, use);

CREATE TABLE photo (
  id      TEXT COLLATE "C" PRIMARY KEY,
  kind    TEXT COLLATE "C" NOT NULL,
  thing   TEXT COLLATE "C" NOT NULL,
  who     TEXT COLLATE "C" NOT NULL,
  width   BIGINT NOT NULL,
  height  BIGINT NOT NULL,
  made    BIGINT NOT NULL,
  removed BIGINT
);
CREATE INDEX photo_of_thing ON photo (kind, thing);
