/** What the program can see for itself of the conditions that a rig file may make a hold point. */
import type { FillEvent, HoldCondition, LinkChange, VacuumEvent, WeatherEvent } from '../../../protocol/index.ts';

export interface Facts {
  readonly fill: FillEvent | undefined;
  readonly vacuum: VacuumEvent | undefined;
  readonly weather: WeatherEvent | undefined;
  /** Of every board that the rig file names; undefined for one that never spoke. */
  readonly links: Readonly<Record<string, LinkChange | undefined>>;
  /** Gates whose beam is blocked now. */
  readonly blockedGates: readonly string[];
  /** Gate boards that have told how their inputs stand. */
  readonly inputsKnown: boolean;
}

export interface Fact {
  readonly holds: boolean;
  /** In a few words; without numbers that change all the time. */
  readonly detail: string;
}

const yes = (detail: string): Fact => ({ holds: true, detail });
const no = (detail: string): Fact => ({ holds: false, detail });

export const FACTS: Readonly<Record<HoldCondition, (facts: Facts) => Fact>> = {
  'fill-settled': ({ fill }) => {
    if (!fill) return no('the reservoir pressure is not known');
    if (fill.phase !== 'steady') return no(`the reservoir is ${fill.phase === 'unknown' ? 'not understood yet' : fill.phase}`);
    if (fill.targetPa === undefined) return yes('steady; no target is set');
    const off = Math.abs(fill.pressurePa.value - fill.targetPa);
    return off <= fill.bandPa ? yes('steady, within the band of the target') : no('steady, but outside the band of the target');
  },
  'vacuum-at-target': ({ vacuum }) => {
    if (!vacuum) return no('the barrel pressure is not known');
    if (vacuum.targetPa === undefined) return no('no target is set; write vacuum: in the rig file');
    return vacuum.pressurePa.value <= vacuum.targetPa ? yes('at or below the target') : no('above the target');
  },
  'links-running': ({ links }) => {
    const down = Object.entries(links).flatMap(([name, change]) => (change === 'running' ? [] : [name]));
    return down.length === 0 ? yes('all links run') : no(`not running: ${down.join(', ')}`);
  },
  'gates-clear': ({ blockedGates, inputsKnown }) => {
    if (!inputsKnown) return no('no gate board has told how its gates stand');
    return blockedGates.length === 0 ? yes('all beams are clear') : no(`blocked: ${blockedGates.join(', ')}`);
  },
  'weather-fresh': ({ weather }) => {
    if (!weather) return no('no reading of the air yet');
    const unfit = weather.inputs.filter(({ flags }) => flags.length > 0).map(({ role }) => role);
    return unfit.length === 0 ? yes('temperature, pressure and humidity are fresh') : no(`not usable: ${unfit.join(', ')}`);
  },
};
