/** Where the projectile was when: every edge of the gates over time, used or left out, and the flight that was fitted. */
import type { RigSummary, Shot } from '../../protocol/index.ts';
import type { Chart, ChartPoint, Layer } from './chart.ts';
import { flightOf, placesOf } from './flight-of.ts';

/** Before the first used edge and after the last, as parts of the time between them. */
const BESIDE = 0.25;
const PLACES = 23;

export function flightChart(shot: Shot, rig: RigSummary): Chart {
  const placeOf = (gate: string): number | undefined => rig.gates.find(({ name }) => name === gate)?.positionM;
  const points = (verdict: 'used' | 'rejected'): readonly ChartPoint[] =>
    shot.edges.flatMap((edge) => {
      const y = placeOf(edge.gate);
      if (y === undefined || edge.verdict !== verdict) return [];
      const why = edge.reason === '' ? '' : `: ${edge.reason}`;
      return [
        {
          x: 1e3 * edge.timeS,
          y,
          title: `${edge.gate} ${edge.active ? 'blocked' : 'cleared'} at ${(1e3 * edge.timeS).toFixed(4)} ms${why}`,
        },
      ];
    });
  const [used, rejected] = [points('used'), points('rejected')];
  const times = (used.length > 0 ? used : rejected).map(({ x }) => x);
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const room = Math.max(1, BESIDE * (last - first));
  const way = flown(shot, rig);
  const layers: readonly Layer[] = [
    ...(way.length > 1 ? [{ kind: 'line', name: 'flight by the gates', look: 0, points: way } as const] : []),
    { kind: 'points', name: 'edge used', look: 1, points: used },
    ...(rejected.length > 0 ? [{ kind: 'points', name: 'edge left out', look: 3, hollow: true, points: rejected } as const] : []),
    { kind: 'rule', name: 'target', look: 4, axis: 'y', at: rig.targetPositionM },
  ];
  return {
    title: `Shot ${shot.number}: the gates' edges`,
    description: `${used.length} edges of the gates used and ${rejected.length} left out, by place and time since the firing.`,
    x: { label: 'Since the firing', unit: 'ms', ...(times.length > 0 ? { span: [first - room, last + room] as const } : {}) },
    y: { label: 'From the muzzle datum', unit: 'm', span: [0, 1.06 * rig.targetPositionM] },
    layers: times.length > 0 ? layers : [],
  };
}

/** From the muzzle to the target; where no velocity tells it, straight from gate to gate. */
function flown(shot: Shot, rig: RigSummary): readonly { readonly x: number; readonly y: number }[] {
  const flight = flightOf(shot, rig.targetPositionM);
  if (!flight) return shot.passages.map(({ timeS, positionM }) => ({ x: 1e3 * timeS, y: positionM }));
  return placesOf(flight, PLACES).map((y) => ({ x: 1e3 * flight.timeS(y), y }));
}
