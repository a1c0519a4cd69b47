/**
 * Heron as its rig file claims it to be, typed in here so that the world shares no code with the host that measures it.
 * A test holds these numbers equal to heron.yaml. Uncertainties are standard (k = 1) unless the name says otherwise.
 */
/** What an instrument is said to be good for. SI; gauge for reservoir and fill gauge, absolute for the rest. */
export interface Claim {
  readonly name: ChannelName;
  /** Ends of its range; a share of an error grows from the one to the other. */
  readonly siLow: number;
  readonly siHigh: number;
  readonly standardUncertaintySi: number;
}

/** A transducer on the gate board. */
export interface ChannelClaim extends Claim {
  readonly channel: number;
  readonly countsLow: number;
  readonly countsHigh: number;
}

export type ChannelName =
  | 'reservoirPressure'
  | 'barrelPressure'
  | 'barrelVacuum'
  | 'reservoirTemperature'
  | 'airTemperature'
  | 'airPressure'
  | 'airHumidity'
  | 'fillGauge'
  | 'tailwind';

export interface GateClaim {
  readonly name: string;
  readonly input: number;
  readonly positionM: number;
}

export const HERON = {
  boardId: 'CS-GB-01',
  baudRate: 500_000,
  tickRateHz: 16_000_000,
  tickRateErrorPpmMax: 50,
  ballDiameterM: 0.0598,
  ballDiameterUncertaintyM: 0.000025,
  ballMassKg: 0.126,
  ballMassUncertaintyKg: 0.0001,
  reservoirVolumeM3: 0.045,
  reservoirRatedPaGauge: 4.0e6,
  reservoirFillPaGaugeMax: 3.8e6,
  reservoirReliefPaGauge: 3.95e6,
  fillTargetPaGauge: 1.2e6,
  vacuumTargetPa: 5e3,
  boreM: 0.06,
  barrelLengthM: 5.5,
  targetPositionM: 11,
  targetPositionUncertaintyM: 0.0025,
  tailwindMps: 0,
  tailwindUncertaintyMps: 0.5,
  gatePositionUncertaintyM: 0.0001,
  gateDelayUncertaintyS: 0.1e-6,
  edgeJitterS: 0.15e-6,
} as const;

export const GATES: readonly GateClaim[] = [
  { name: 'A1', input: 1, positionM: 1.5 },
  { name: 'A2', input: 2, positionM: 2.5 },
  { name: 'B1', input: 3, positionM: 9 },
  { name: 'B2', input: 4, positionM: 10 },
];

const channel = (
  name: ChannelName,
  number: number,
  [countsLow, siLow]: readonly [number, number],
  [countsHigh, siHigh]: readonly [number, number],
  standardUncertaintySi: number,
): ChannelClaim => ({ name, channel: number, countsLow, countsHigh, siLow, siHigh, standardUncertaintySi });

/** On the gate board, in the order of their channel number. */
export const CHANNELS: readonly ChannelClaim[] = [
  channel('reservoirPressure', 0, [6553, 0], [58981, 6e6], 7500),
  channel('barrelPressure', 1, [6553, 0], [58981, 1.2e6], 600),
];

/** On the weather board and the two text instruments. Ranges that the rig file does not state are those of use. */
export const INSTRUMENTS = {
  barrelVacuum: { name: 'barrelVacuum', siLow: 0, siHigh: 120e3, standardUncertaintySi: 150 },
  reservoirTemperature: { name: 'reservoirTemperature', siLow: 250, siHigh: 350, standardUncertaintySi: 0.5 },
  airTemperature: { name: 'airTemperature', siLow: 270, siHigh: 310, standardUncertaintySi: 0.5 },
  airPressure: { name: 'airPressure', siLow: 90e3, siHigh: 105e3, standardUncertaintySi: 60 },
  airHumidity: { name: 'airHumidity', siLow: 0, siHigh: 1, standardUncertaintySi: 0.02 },
  fillGauge: { name: 'fillGauge', siLow: 0, siHigh: 6e6, standardUncertaintySi: 10e3 },
  tailwind: { name: 'tailwind', siLow: -5, siHigh: 5, standardUncertaintySi: 0.15 },
} as const satisfies Readonly<Record<string, Claim>>;

/** How the weather board's analog pins are wired, and how finely it reads them. */
export const WEATHER_BOARD = {
  baudRate: 57_600,
  analogBits: 12,
  referenceVolts: 5,
  bme280Address: 0x76,
  /** How often the host asks for its pins. */
  samplingMs: 50,
  vacuum: { pin: 0, voltsLow: 0.5, voltsHigh: 4.5 },
  thermistor: { pin: 1, r25Ohm: 10e3, betaK: 3950, pullUpOhm: 10e3 },
} as const;

export const FILL_GAUGE = { baudRate: 9600 } as const;
export const WIND_METER = { baudRate: 4800 } as const;
