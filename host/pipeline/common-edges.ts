/**
 * What several gates see at the same moment is no projectile: light that flickers, a shock through the stand, interference
 * on the cable. A ball needs at least two thirds of a millisecond from one gate to another a metre on.
 */
import type { Gate } from '../rig/index.ts';
import type { TimedEdge } from './timed-edge.ts';

export const COMMON_REASON = 'at several gates at once: flickering light or interference, no projectile';

/** Begins and ends at two gates nearer in time than this are the same event. */
const TOGETHER_S = 100e-6;
/** No projectile here is as fast, m/s. */
const FASTEST_MPS = 1500;
/** So many other gates must see it, or all others where there are fewer. */
const OTHERS_MIN = 2;

interface Pulse {
  readonly gateIndex: number;
  readonly begins: number;
  readonly ends: number;
  readonly fromS: number;
  readonly toS: number;
}

/** @param edges  ascending in time @returns indices of the edges of pulses that several gates have in common */
export function commonEdges(edges: readonly TimedEdge[], gates: readonly Gate[]): ReadonlySet<number> {
  const pulses = pulsesOf(edges, gates.length);
  const needed = Math.min(OTHERS_MIN, gates.length - 1);
  const found = new Set<number>();
  for (const [i, pulse] of pulses.entries()) {
    const others = new Set<number>();
    const look = (step: 1 | -1): void => {
      for (let j = i + step; j >= 0 && j < pulses.length; j += step) {
        const other = pulses[j] as Pulse;
        if (Math.abs(other.fromS - pulse.fromS) >= TOGETHER_S) return;
        if (isTogether(pulse, other, gates)) others.add(other.gateIndex);
      }
    };
    look(1);
    look(-1);
    if (needed >= 1 && others.size >= needed) found.add(pulse.begins).add(pulse.ends);
  }
  return found;
}

function isTogether(a: Pulse, b: Pulse, gates: readonly Gate[]): boolean {
  if (a.gateIndex === b.gateIndex) return false;
  const apartM = Math.abs((gates[a.gateIndex] as Gate).positionM.value - (gates[b.gateIndex] as Gate).positionM.value);
  const withinS = Math.min(TOGETHER_S, apartM / FASTEST_MPS);
  return Math.abs(a.fromS - b.fromS) < withinS && Math.abs(a.toS - b.toS) < withinS;
}

/** By begin. */
function pulsesOf(edges: readonly TimedEdge[], gateCount: number): readonly Pulse[] {
  const begun = new Array<number | undefined>(gateCount).fill(undefined);
  const pulses: Pulse[] = [];
  for (const [index, edge] of edges.entries()) {
    const { gateIndex } = edge;
    const begins = begun[gateIndex];
    if (edge.active) begun[gateIndex] = begins ?? index;
    else if (begins !== undefined) {
      pulses.push({ gateIndex, begins, ends: index, fromS: (edges[begins] as TimedEdge).timeS, toS: edge.timeS });
      begun[gateIndex] = undefined;
    }
  }
  return pulses.sort((a, b) => a.fromS - b.fromS);
}
