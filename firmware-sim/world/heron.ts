/**
 * Heron as its rig file claims it to be, typed in here so that the world shares no code with the host that measures it.
 * A test holds these numbers equal to heron.yaml. Uncertainties are standard (k = 1) unless the name says otherwise.
 */
export interface ChannelClaim {
  readonly role: 'reservoirPressure' | 'barrelPressure' | 'airTemperature' | 'airPressure' | 'airHumidity';
  readonly channel: number;
  readonly countsLow: number;
  readonly countsHigh: number;
  /** SI; gauge for the reservoir, absolute for the rest. */
  readonly siLow: number;
  readonly siHigh: number;
  readonly standardUncertaintySi: number;
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
  role: ChannelClaim['role'],
  channel: number,
  [countsLow, siLow]: readonly [number, number],
  [countsHigh, siHigh]: readonly [number, number],
  standardUncertaintySi: number,
): ChannelClaim => ({ role, channel, countsLow, countsHigh, siLow, siHigh, standardUncertaintySi });

/** In the order of their channel number. */
export const CHANNELS: readonly ChannelClaim[] = [
  claim('reservoirPressure', 0, [6553, 0], [58981, 6e6], 7500),
  claim('barrelPressure', 1, [6553, 0], [58981, 400e3], 500),
  claim('airTemperature', 2, [0, 233.15], [65535, 333.15], 0.2),
  claim('airPressure', 3, [0, 60e3], [65535, 120e3], 60),
  claim('airHumidity', 4, [0, 0], [65535, 1], 0.02),
];
