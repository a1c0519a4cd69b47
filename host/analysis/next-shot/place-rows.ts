import { componentRow, type FittedMap, layoutOf, logVelocitySlopes, remainderRow, scatterAt } from '../map/index.ts';
import type { PlaceRows } from './expected-gain.ts';
import type { SetPoint } from './shot-cost.ts';

/** The map at a place as its linear models see it, and the noise of one shot there. */
export function placeRows(map: FittedMap): {
  readonly rowsAt: (point: SetPoint) => PlaceRows;
  readonly noiseAt: (rows: PlaceRows) => readonly number[];
} {
  const { z, problem, setup, gauges, present, components } = map;
  const layout = layoutOf(problem);
  return {
    rowsAt: (point) => {
      const firing = { ...present, reservoirPressurePa: point.reservoirPressurePa, barrelPressurePa: point.barrelPressurePa };
      const { byZ } = logVelocitySlopes({ setup, layout, z, firing, gauges });
      const remainder = remainderRow(firing, problem.limits);
      return components.map(({ amplitude }) => componentRow(amplitude, byZ, remainder));
    },
    // A row begins with the slopes.
    noiseAt: (rows) => components.map((component, i) => scatterAt(component, rows[i] as readonly number[]) ** 2),
  };
}
