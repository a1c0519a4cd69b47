/** How a channel's numbers are shown: the well-known ones as everywhere on the page, others by what they measure. */
import type { QuantityKind } from '../../../host/units/index.ts';
import type { ChannelSummary, Measure, RigSummary } from '../../../protocol/index.ts';

const BY_ROLE: Readonly<Record<string, QuantityKind>> = {
  reservoirPressure: 'pressure',
  barrelPressure: 'vacuum',
  barrelVacuum: 'vacuum',
  airPressure: 'airPressure',
};

const BY_MEASURE: Readonly<Record<Measure, QuantityKind>> = {
  pressure: 'pressure',
  temperature: 'temperature',
  ratio: 'humidity',
  speed: 'velocity',
  voltage: 'voltage',
};

/** A gauge that reaches no higher is read in the unit of the vacuum. */
const LOW_PRESSURE_PA = 1e6;

export function kindOf({ name, measures, rangeSi }: ChannelSummary): QuantityKind {
  if (measures === 'pressure' && !(name in BY_ROLE) && rangeSi && rangeSi[1] <= LOW_PRESSURE_PA) return 'vacuum';
  return BY_ROLE[name] ?? BY_MEASURE[measures];
}

/** `reservoirPressure` to `Reservoir pressure`. */
export function plainName(name: string): string {
  const words = name.replace(/([a-z0-9])([A-Z])/g, (_, end: string, start: string) => `${end} ${start.toLowerCase()}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The channel that the vacuum is watched by. */
export const barrelChannel = (rig: RigSummary | undefined): 'barrelVacuum' | 'barrelPressure' =>
  rig?.channels.some(({ name }) => name === 'barrelVacuum') ? 'barrelVacuum' : 'barrelPressure';
