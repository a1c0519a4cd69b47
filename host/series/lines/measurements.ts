/** What is sent: every measurement with its tags and fields. docs/time-series.md has the same tables; a test holds them equal. */

export interface FieldRow {
  readonly kind: 'float' | 'int' | 'text';
  readonly meaning: string;
}

export interface MeasurementRow {
  readonly about: string;
  /** Beside `site`, `rig` and those of the rig file's own. */
  readonly tags: readonly string[];
  readonly fields: Readonly<Record<string, FieldRow>>;
}

const float = (meaning: string): FieldRow => ({ kind: 'float', meaning });
const int = (meaning: string): FieldRow => ({ kind: 'int', meaning });
const text = (meaning: string): FieldRow => ({ kind: 'text', meaning });

const U = 'its standard uncertainty';

export const MEASUREMENTS = {
  sample: {
    about: 'each calibrated sample of a channel; pressures absolute',
    tags: ['channel', 'stream', 'unit'],
    fields: { value: float('SI, in the unit of the tag') },
  },
  rig_state: {
    about: 'how the rig is, every five seconds, and once more where its session ends',
    tags: [],
    fields: {
      open: int('1 while the session lasts, 0 at its end'),
      links_up: int('links that run'),
      links_down: int('links that do not'),
      alarms: int('limits of severity alarm that are passed'),
      warnings: int('limits of severity warning that are passed'),
      shots: int('closed shots of the session so far'),
      session: text('name of the session'),
    },
  },
  link: {
    about: 'a link changes',
    tags: ['board'],
    fields: { up: int('1 where it runs'), state: text('as the page names it'), detail: text('one sentence') },
  },
  fill: {
    about: 'the fill watch, at most five times a second',
    tags: ['channel'],
    fields: {
      pressure_pa: float('absolute'),
      pressure_u_pa: float(U),
      rate_pa_per_s: float('rising is positive'),
      settled_pa: float('where it will settle, while that is known'),
      steady_pa: float('the same as pressure_pa, while the fill is settled'),
      target_pa: float('absolute'),
      phase: text('empty, filling, settling, steady, falling, unknown'),
      phase_code: int('0 unknown, 1 empty, 2 filling, 3 settling, 4 steady, 5 falling'),
    },
  },
  vacuum: {
    about: 'the vacuum watch, at most five times a second',
    tags: ['channel'],
    fields: {
      pressure_pa: float('absolute'),
      pressure_u_pa: float(U),
      rate_pa_per_s: float('falling is negative'),
      target_pa: float('absolute'),
      phase: text('open, pumping, base, rising, venting, unknown'),
      phase_code: int('0 unknown, 1 open, 2 pumping, 3 base, 4 rising, 5 venting'),
    },
  },
  weather: {
    about: 'the weather watch',
    tags: [],
    fields: {
      temperature_k: float('of the air'),
      pressure_pa: float('of the air, absolute'),
      humidity: float('0 to 1'),
      density_kg_m3: float('of the air; left out unless all three are fit and fresh'),
      speed_of_sound_mps: float('the same'),
    },
  },
  health: {
    about: "a transducer's health changes",
    tags: ['channel'],
    fields: { healthy: int('1 or 0'), state: text('as the page names it') },
  },
  limit_state: {
    about: 'a limit is passed, acknowledged or over',
    tags: ['channel', 'limit_id', 'severity'],
    fields: {
      active: int('1 while it is passed'),
      state: text('clear, active, active-acknowledged, latched'),
      value_si: float('of the sample that caused it'),
      limit_si: float('the limit itself'),
    },
  },
  hold_points: {
    about: 'the hold points change',
    tags: [],
    fields: { ready: int('1 where every point is done'), done: int('points done'), points: int('points in all') },
  },
  wire: {
    about: "a gate board's counters since its link was made",
    tags: ['board'],
    fields: {
      lines: int('received'),
      lines_bad: int('that could not be read'),
      frames_missed: int('that did not come when they should'),
      frames_resent: int('of those, fetched'),
      frames_gone: int('of those, no longer held by the board'),
      edges: int('captured by the board'),
      edges_lost: int('that it could not keep'),
    },
  },
  clock: {
    about: "a gate board's clock against the host's",
    tags: ['board'],
    fields: { rate_error_ppm: float('positive: it runs fast'), offset_u_s: float(U), round_trip_s: float('of the exchange of stamps') },
  },
  shot: {
    about: 'a closed shot, stamped with its firing; told again, with the next revision, where something of it came late',
    tags: ['session', 'shot'],
    fields: {
      number: int('in its session'),
      revision: int('0 for the first telling'),
      muzzle_velocity_mps: float('at the muzzle datum'),
      muzzle_velocity_u_mps: float(U),
      target_velocity_mps: float('at the target'),
      target_velocity_u_mps: float(U),
      mach: float('at the muzzle datum'),
      mach_u: float(U),
      drag_coefficient: float('at drag_mach'),
      drag_coefficient_u: float(U),
      drag_mach: float('where the drag coefficient applies'),
      muzzle_energy_j: float('kinetic'),
      target_energy_j: float('kinetic'),
      flight_time_s: float('from the muzzle datum to the target'),
      target_drop_m: float('below the line of launch'),
      reservoir_pressure_pa: float('latched before the firing, absolute'),
      reservoir_pressure_u_pa: float(U),
      reservoir_temperature_k: float('latched before the firing'),
      barrel_pressure_pa: float('latched before the firing, absolute'),
      barrel_pressure_u_pa: float(U),
      energy_drawn_j: float('from the reservoir'),
      efficiency: float("projectile's energy over energy drawn"),
      air_temperature_k: float('latched or assumed'),
      air_pressure_pa: float('latched or assumed, absolute'),
      air_humidity: float('latched or assumed, 0 to 1'),
      air_density_kg_m3: float('of that air'),
      speed_of_sound_mps: float('in that air'),
      tailwind_mps: float('from behind is positive'),
      flags: int('how many flags the shot has'),
      flag_list: text('their names, with spaces between'),
      fired_at: text('UTC, by the clock of the computer at the firing'),
      fired_by: text('trigger, first edge, blow-down'),
      projectile: text('its name'),
    },
  },
  shot_pair: {
    about: 'the velocity of one gate pair in a shot',
    tags: ['pair', 'session', 'shot'],
    fields: { velocity_mps: float('in the middle of the pair'), velocity_u_mps: float(U), position_m: float('from the muzzle datum') },
  },
  shot_exclusion: {
    about: 'a shot is left out of fits, or taken in again; the newest holds',
    tags: ['session', 'shot'],
    fields: { excluded: int('1 or 0'), reason: text('as the crew wrote it'), who: text('their name') },
  },
  note: {
    about: 'a note',
    tags: [],
    fields: { text: text('its words'), who: text('who wrote it'), shot: text('of which shot, where of one') },
  },
} as const satisfies Readonly<Record<string, MeasurementRow>>;

export type Measurement = keyof typeof MEASUREMENTS;
