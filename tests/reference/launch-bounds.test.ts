import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  adiabaticBoundMps,
  constantPressureBoundMps,
  drivingGas,
  escapeSpeedMps,
  fastestPossibleMps,
  type GasLaunch,
  isothermalBoundMps,
  soundSpeedInGasMps,
} from '../../host/physics/index.ts';

const gas = (name: string) => drivingGas(name) ?? expect.fail(`no gas ${name}`);

/** Air at 293.15 K, 2 MPa in 1 L, 20 mm bore, 1 m, 10 g: a worked case computed from the closed forms, checked by integration. */
const launch: GasLaunch = {
  reservoirPressurePa: 2e6,
  reservoirVolumeM3: 1e-3,
  boreM: 0.02,
  barrelLengthM: 1,
  massKg: 0.01,
  gasTemperatureK: 293.15,
  gas: gas('air'),
};

test('constant pressure: √(2pAL/m) (energy balance)', () => {
  expect(constantPressureBoundMps(launch)).toBeCloseTo(354.49077, 4);
});

// Rohrbach, Buresh, Madsen 2012, Am. J. Phys. 80, 24, eqs (2)–(3) integrated, without the atmosphere ahead.
test('adiabatic and isothermal work of a finite chamber', () => {
  expect(adiabaticBoundMps(launch)).toBeCloseTo(321.744617, 5);
  expect(isothermalBoundMps(launch)).toBeCloseTo(330.573513, 5);
});

// Ideal gas; gas constants from memory.
test.each([
  ['air', 343.23369, 1716.1685],
  ['nitrogen', 349.01421, 1745.0711],
  ['helium', 1007.39091, 3022.1727],
  ['carbon dioxide', 267.18396, 1849.0239],
])('%s: speed of sound and escape speed at 293.15 K', (name, soundMps, escapeMps) => {
  const of = { ...launch, gas: gas(name) };
  expect(soundSpeedInGasMps(of)).toBeCloseTo(soundMps, 3);
  // The published figures are those of a barrel-wide reservoir; ours is the wide one's, √((γ+1)/2) above.
  expect(escapeSpeedMps(of) / Math.sqrt((of.gas.gamma + 1) / 2)).toBeCloseTo(escapeMps, 2);
});

test('the bounds stand in the order that thermodynamics gives them', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1e5, max: 4e7, noNaN: true }),
      fc.double({ min: 1e-4, max: 0.2, noNaN: true }),
      fc.double({ min: 0.1, max: 12, noNaN: true }),
      (reservoirPressurePa, reservoirVolumeM3, barrelLengthM) => {
        const of = { ...launch, reservoirPressurePa, reservoirVolumeM3, barrelLengthM };
        expect(adiabaticBoundMps(of)).toBeLessThanOrEqual(isothermalBoundMps(of));
        expect(isothermalBoundMps(of)).toBeLessThanOrEqual(constantPressureBoundMps(of));
        expect(fastestPossibleMps(of)).toBeLessThanOrEqual(isothermalBoundMps(of));
      },
    ),
  );
});
