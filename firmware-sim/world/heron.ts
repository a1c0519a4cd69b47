/**
 * Heron as its rig file claims it to be, typed in here so that the world shares no code with the host that measures it.
 * A test holds these numbers equal to heron.yaml. Uncertainties are standard (k = 1) unless the name says otherwise.
 */
export type CountsRole = 'reservoirPressure' | 'barrelPressure';
export type ReadingRole = 'airTemperature' | 'airPressure' | 'airHumidity' | 'fillGauge';

export interface SensorClaim {
  readonly role: CountsRole | ReadingRole;
  /** Span of the sensor, SI; gauge for the reservoir and the fill gauge, absolute for the rest. */
  readonly siLow: number;
  readonly siHigh: number;
  readonly standardUncertaintySi: number;
}

/** On the gate board, whose converter has 16 bits. */
export interface ChannelClaim extends SensorClaim {
  readonly role: CountsRole;
  readonly channel: number;
  readonly countsLow: number;
  readonly countsHigh: number;
}

/** On a board that hands over the quantity itself. */
export interface ReadingClaim extends SensorClaim {
  readonly role: ReadingRole;
  readonly board: 'weather-board' | 'fill-gauge';
  readonly reads: string;
}

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
  weatherBaudRate: 57_600,
  bme280Address: 0x76,
  gaugeBaudRate: 9600,
  ballDiameterM: 0.0598,
  ballDiameterUncertaintyM: 0.000025,
  ballMassKg: 0.126,
  ballMassUncertaintyKg: 0.0001,
  reservoirVolumeM3: 0.045,
  reservoirRatedPaGauge: 4.0e6,
  reservoirFillPaGaugeMax: 3.8e6,
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

const claim = (
  role: CountsRole,
  channel: number,
  [countsLow, siLow]: readonly [number, number],
  [countsHigh, siHigh]: readonly [number, number],
  standardUncertaintySi: number,
): ChannelClaim => ({ role, channel, countsLow, countsHigh, siLow, siHigh, standardUncertaintySi });

/** In the order of their channel number. */
export const CHANNELS: readonly ChannelClaim[] = [
  claim('reservoirPressure', 0, [6553, 0], [58981, 6e6], 7500),
  claim('barrelPressure', 1, [6553, 0], [58981, 3.2e6], 1600),
];

const reading = (
  role: ReadingRole,
  [board, reads]: readonly [ReadingClaim['board'], string],
  [siLow, siHigh]: readonly [number, number],
  standardUncertaintySi: number,
): ReadingClaim => ({ role, board, reads, siLow, siHigh, standardUncertaintySi });

export const READINGS: readonly ReadingClaim[] = [
  reading('airTemperature', ['weather-board', 'temperature'], [233.15, 333.15], 0.2),
  reading('airPressure', ['weather-board', 'pressure'], [60e3, 120e3], 60),
  reading('airHumidity', ['weather-board', 'humidity'], [0, 1], 0.02),
  reading('fillGauge', ['fill-gauge', 'pressure'], [-1e5, 6e6], 15e3),
];
