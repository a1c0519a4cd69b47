import { expect, test } from 'vitest';
import { flowOverChoked, nozzleGas } from '../../host/analysis/map/nozzle-flow.ts';

// NACA Report 1135 (1953), closed forms; 5/3 and 1.289 computed from them.
test.each([
  [1.4, 0.52828179, 0.68473146],
  [5 / 3, 0.48713929, 0.72618438],
])('γ = %s: choking ratio and choked flow function', (gamma, ratio, flow) => {
  expect(nozzleGas(gamma).chokingRatio).toBeCloseTo(ratio, 7);
  expect(nozzleGas(gamma).chokedFunction).toBeCloseTo(flow, 7);
});

// The same report, γ = 1.4, isentropic flow: p/p0 and A/A* at Mach 0.3, 0.5, 0.8; the flow over the choked one is A*/A.
test.each([
  [0.9394697, 2.035065],
  [0.8430192, 1.339844],
  [0.6560216, 1.03823],
])('at p/p0 = %s the flow is that of A/A* = %s', (ratio, areaRatio) => {
  expect(flowOverChoked(ratio, nozzleGas(1.4))).toBeCloseTo(1 / areaRatio, 5);
});

test('it chokes below the critical ratio, stops at equal pressures, and falls without a jump between', () => {
  const gas = nozzleGas(1.4);
  expect(flowOverChoked(0, gas)).toBe(1);
  expect(flowOverChoked(gas.chokingRatio, gas)).toBe(1);
  expect(flowOverChoked(1, gas)).toBe(0);
  expect(flowOverChoked(1.3, gas)).toBe(0);
  let before = 1;
  for (let ratio = 0; ratio <= 1; ratio += 1e-4) {
    const flow = flowOverChoked(ratio, gas);
    expect(flow).toBeLessThanOrEqual(before + 1e-12);
    expect(before - flow).toBeLessThan(0.005);
    before = flow;
  }
});
