/** The fit looks the drag curve up in a table: what that moves, against the curve itself, over the speeds of the rig. */
import { expect, test } from 'vitest';
import {
  dynamicViscosityPaS,
  fly,
  moistAirDensityKgM3,
  type Passage,
  referenceSphereDrag,
  speedOfSoundMps,
} from '../../host/physics/index.ts';
import { estimateAir } from '../../host/pipeline/air.ts';
import { FlightModel, NO_DEPARTURE } from '../../host/pipeline/flight-model.ts';
import { loadRig } from '../../host/rig/index.ts';
import type { Latched } from '../../protocol/index.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const loaded = loadRig(HERON_YAML, 'heron.yaml');
if (!loaded.ok) throw new Error('heron.yaml');
const { rig } = loaded;
const moistAir = { temperatureK: 288, pressurePa: 98e3, relativeHumidity: 0.6 };
const latched = (value: number, unit: string): Latched => ({ value, unit, standardUncertainty: 1e-6 * value, ageS: 0, origin: 'measured' });
const air = estimateAir({
  airTemperatureK: latched(moistAir.temperatureK, 'K'),
  airPressurePa: latched(moistAir.pressurePa, 'Pa'),
  airHumidity: latched(moistAir.relativeHumidity, '1'),
  tailwindMps: { value: 0, unit: 'm/s', standardUncertainty: 0, ageS: 0, origin: 'measured' },
});
const diameterM = rig.projectile.diameterM.value;
const density = moistAirDensityKgM3(moistAir);
const curve = {
  retardationPerM: (density * Math.PI * diameterM ** 2) / (8 * rig.projectile.massKg.value),
  coefficientAt: (speedMps: number) =>
    referenceSphereDrag({
      mach: speedMps / speedOfSoundMps(moistAir),
      reynolds: (density * speedMps * diameterM) / dynamicViscosityPaS(moistAir),
    }).dragCoefficient,
};

test('Heron’s ball from 60 to 900 m/s: time of flight and speed at the target within 3e-5 of the curve’s', () => {
  const first = rig.gates[0]?.positionM.value ?? Number.NaN;
  const last = rig.gates.at(-1)?.positionM.value ?? Number.NaN;
  const places = [first, last, rig.targetPositionM.value];
  for (let speedMps = 60; speedMps <= 900; speedMps += 5) {
    const [from, to, target] = fly(speedMps, places, curve) as [Passage, Passage, Passage];
    const model = new FlightModel(rig, air, (last - first) / (to.timeS - from.timeS));
    const [fromTable, toTable, targetTable] = model.along(places)(speedMps, NO_DEPARTURE, model.known) as [Passage, Passage, Passage];
    const place = `${speedMps} m/s`;
    expect(Math.abs((toTable.timeS - fromTable.timeS) / (to.timeS - from.timeS) - 1), place).toBeLessThan(3e-5);
    expect(Math.abs(targetTable.velocityMps / target.velocityMps - 1), place).toBeLessThan(3e-5);
  }
});
