-- Times are text: RFC 3339 in UTC with milliseconds. Units stand in the names; right is positive.
-- Lists are in the order of their ids. What is unknown is NULL.

-- Files as they were given, each once.
CREATE TABLE files (
    id INTEGER PRIMARY KEY,
    sha256 TEXT NOT NULL UNIQUE,
    bytes BLOB NOT NULL
) STRICT;

CREATE TABLE campaigns (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    title TEXT NOT NULL,
    club TEXT,
    note TEXT,
    wished_half_width_percent REAL NOT NULL DEFAULT 10,
    tolerated_turn_deg_min REAL NOT NULL DEFAULT 30,
    weight_trim_level REAL NOT NULL DEFAULT 1,
    weight_accelerated_level REAL NOT NULL DEFAULT 1,
    weight_full_power_climb REAL NOT NULL DEFAULT 1,
    weight_power_off_glide REAL NOT NULL DEFAULT 1,
    plan_seed INTEGER NOT NULL DEFAULT 1,
    plan_repeats INTEGER NOT NULL DEFAULT 3,
    plan_days INTEGER NOT NULL DEFAULT 2,
    plan_hands_off_s REAL NOT NULL DEFAULT 60,
    plan_height_low_m REAL NOT NULL DEFAULT 300,
    plan_height_high_m REAL NOT NULL DEFAULT 450,
    plan_abort_height_m REAL,
    plan_wind_limit_mps REAL NOT NULL DEFAULT 5
) STRICT;

CREATE TABLE power_units (
    id INTEGER PRIMARY KEY,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    reduction_ratio REAL NOT NULL,
    drive_efficiency REAL NOT NULL,
    propeller TEXT NOT NULL CHECK (propeller IN ('clockwise', 'anticlockwise')),
    UNIQUE (campaign, key)
) STRICT;

CREATE TABLE engine_points (
    power_unit INTEGER NOT NULL REFERENCES power_units ON DELETE CASCADE,
    scenario TEXT NOT NULL,
    power_kw REAL NOT NULL,
    power_std_u_kw REAL NOT NULL,
    speed_rpm REAL NOT NULL,
    PRIMARY KEY (power_unit, scenario)
) STRICT, WITHOUT ROWID;

CREATE TABLE devices (
    id INTEGER PRIMARY KEY,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    model TEXT CHECK (model IN ('constant', 'propwash', 'mixed')),
    setting_unit TEXT,
    lowest_setting REAL,
    highest_setting REAL,
    UNIQUE (campaign, key),
    CHECK ((lowest_setting IS NULL) = (highest_setting IS NULL))
) STRICT;

CREATE TABLE wings (
    id INTEGER PRIMARY KEY,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    area_m2 REAL,
    mass_kg REAL,
    class TEXT,
    UNIQUE (campaign, key)
) STRICT;

CREATE TABLE pilots (
    id INTEGER PRIMARY KEY,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    all_up_kg REAL,
    body_kg REAL,
    student INTEGER NOT NULL DEFAULT 0 CHECK (student IN (0, 1)),
    UNIQUE (campaign, key)
) STRICT;

CREATE TABLE setups (
    id INTEGER PRIMARY KEY,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    power_unit INTEGER NOT NULL REFERENCES power_units,
    device INTEGER REFERENCES devices,
    setting REAL,
    wing INTEGER REFERENCES wings,
    pilot INTEGER REFERENCES pilots,
    baseline INTEGER REFERENCES setups,
    claimed_compensation_percent REAL,
    claimed_drift_deg_min REAL,
    UNIQUE (campaign, key)
) STRICT;

-- A flight of which neither set-up nor wing was said yet waits; one that is left out may have lost its files.
CREATE TABLE flights (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    log INTEGER REFERENCES files,
    marks_name TEXT,
    marks INTEGER REFERENCES files,
    csv_mapping_name TEXT,
    csv_mapping INTEGER REFERENCES files,
    added_utc TEXT NOT NULL,
    setup INTEGER REFERENCES setups,
    wing INTEGER REFERENCES wings,
    pilot INTEGER REFERENCES pilots,
    scenario TEXT,
    take_candidates INTEGER NOT NULL DEFAULT 0 CHECK (take_candidates IN (0, 1)),
    exclude TEXT,
    temperature_c REAL,
    qnh_hpa REAL,
    altitude_note TEXT,
    note TEXT,
    -- The correction that counts; NULL while the marks as given do.
    correction INTEGER REFERENCES corrections,
    UNIQUE (campaign, key),
    UNIQUE (campaign, log),
    CHECK (log IS NOT NULL OR exclude IS NOT NULL)
) STRICT;

CREATE TABLE inertial_files (
    id INTEGER PRIMARY KEY,
    flight INTEGER NOT NULL REFERENCES flights ON DELETE CASCADE,
    name TEXT NOT NULL,
    -- NULL where the flight is left out and the file is gone.
    file INTEGER REFERENCES files,
    mapping INTEGER REFERENCES files
) STRICT;

-- Windows left out on purpose.
CREATE TABLE left_out_windows (
    id INTEGER PRIMARY KEY,
    flight INTEGER NOT NULL REFERENCES flights ON DELETE CASCADE,
    window INTEGER NOT NULL,
    reason TEXT NOT NULL
) STRICT;

-- Every state the marks of a flight were ever in: a tree, in which undoing goes to the parent.
CREATE TABLE corrections (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    flight INTEGER NOT NULL REFERENCES flights ON DELETE CASCADE,
    parent INTEGER REFERENCES corrections ON DELETE CASCADE,
    at_utc TEXT NOT NULL,
    what TEXT NOT NULL
) STRICT;

CREATE TABLE correction_rows (
    id INTEGER PRIMARY KEY,
    correction INTEGER NOT NULL REFERENCES corrections ON DELETE CASCADE,
    let_go_utc TEXT NOT NULL,
    take_over_utc TEXT NOT NULL,
    scenario TEXT,
    setup TEXT,
    note TEXT
) STRICT;

CREATE TABLE stopwatch_runs (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    setup INTEGER NOT NULL REFERENCES setups,
    wing INTEGER NOT NULL REFERENCES wings,
    pilot INTEGER REFERENCES pilots,
    scenario TEXT NOT NULL,
    degrees REAL NOT NULL,
    seconds REAL NOT NULL,
    count INTEGER NOT NULL,
    turned TEXT NOT NULL CHECK (turned IN ('left', 'right')),
    reading_std_u_s REAL NOT NULL,
    pointing_std_u_deg REAL NOT NULL,
    timed_by TEXT,
    date TEXT,
    flight INTEGER REFERENCES flights,
    window INTEGER,
    note TEXT,
    CHECK ((flight IS NULL) = (window IS NULL))
) STRICT;

-- By windows of a flight, or with a stopwatch.
CREATE TABLE weight_runs (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    campaign INTEGER NOT NULL REFERENCES campaigns ON DELETE CASCADE,
    mass_kg REAL NOT NULL,
    mass_std_u_kg REAL NOT NULL,
    arm_m REAL NOT NULL,
    arm_std_u_m REAL NOT NULL,
    side TEXT NOT NULL CHECK (side IN ('left', 'right')),
    flight INTEGER REFERENCES flights,
    setup INTEGER REFERENCES setups,
    wing INTEGER REFERENCES wings,
    pilot INTEGER REFERENCES pilots,
    scenario TEXT,
    degrees REAL,
    seconds REAL,
    count INTEGER,
    turned TEXT CHECK (turned IN ('left', 'right')),
    reading_std_u_s REAL,
    pointing_std_u_deg REAL,
    note TEXT,
    CHECK ((flight IS NULL) = (seconds IS NOT NULL)),
    CHECK (seconds IS NULL OR (setup IS NOT NULL AND wing IS NOT NULL AND scenario IS NOT NULL AND degrees IS NOT NULL
        AND count IS NOT NULL AND turned IS NOT NULL AND reading_std_u_s IS NOT NULL AND pointing_std_u_deg IS NOT NULL))
) STRICT;

-- Windows of the flight of a known-weight run; none for all of them.
CREATE TABLE weight_run_windows (
    id INTEGER PRIMARY KEY,
    run INTEGER NOT NULL REFERENCES weight_runs ON DELETE CASCADE,
    window INTEGER NOT NULL
) STRICT;

CREATE TABLE preferences (
    key TEXT PRIMARY KEY NOT NULL,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX flights_log ON flights (log);
CREATE INDEX flights_marks ON flights (marks);
CREATE INDEX flights_csv_mapping ON flights (csv_mapping);
CREATE INDEX flights_correction ON flights (correction);
CREATE INDEX inertial_files_flight ON inertial_files (flight);
CREATE INDEX inertial_files_file ON inertial_files (file);
CREATE INDEX inertial_files_mapping ON inertial_files (mapping);
CREATE INDEX left_out_windows_flight ON left_out_windows (flight);
CREATE INDEX corrections_flight ON corrections (flight);
CREATE INDEX corrections_parent ON corrections (parent);
CREATE INDEX correction_rows_correction ON correction_rows (correction);
CREATE INDEX stopwatch_runs_flight ON stopwatch_runs (flight);
CREATE INDEX weight_runs_flight ON weight_runs (flight);
CREATE INDEX weight_run_windows_run ON weight_run_windows (run);
