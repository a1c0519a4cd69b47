/** A shot's edges: in time since the firing, and what became of each. */
import type { ShotEdge } from '../../protocol/index.ts';
import { type Gate, type Rig, stampOf } from '../rig/index.ts';
import type { FoundPassage } from './occlusions.ts';
import type { Screening } from './screening.ts';
import { isTrigger } from './shot-window.ts';
import type { BoardEdge, PipelineState, ShotRecord } from './state.ts';
import { secondsBetween } from './time.ts';
import type { TimedEdge } from './timed-edge.ts';

/** An edge at a gate, as it came and as the search takes it. */
export interface GateEdge {
  readonly edge: BoardEdge;
  readonly gate: Gate;
  readonly timed: TimedEdge;
}

/** In time order, the delays of detector and board taken off. */
export function gateEdges(state: PipelineState, rig: Rig, { firing, edges: all }: ShotRecord): readonly GateEdge[] {
  const edges = all.flatMap((edge): GateEdge[] => {
    const gateIndex = rig.gates.findIndex((gate) => gate.board === edge.board && gate.input === edge.input);
    const gate = rig.gates[gateIndex];
    if (!gate) return [];
    const delayS = gate.delayS.value + stampOf(rig, edge.board, edge.hardwareTimed).delayS.value;
    const timeS = secondsBetween(state, rig, firing, edge) - delayS;
    const timed = { gateIndex, active: edge.active, timeS, ...(edge.hardwareTimed ? {} : { softwareTimed: true as const }) };
    return [{ edge, gate, timed }];
  });
  return edges.sort((a, b) => a.timed.timeS - b.timed.timeS);
}

export function triggerEdges(state: PipelineState, rig: Rig, { firing, edges }: ShotRecord): readonly ShotEdge[] {
  return edges
    .filter((edge) => isTrigger(rig, edge))
    .map((edge) => ({
      gate: 'trigger',
      active: edge.active,
      ticks: edge.ticks,
      timeS: secondsBetween(state, rig, firing, edge),
      verdict: 'used',
      reason: '',
    }));
}

export function verdictOn({ edge, gate, timed }: GateEdge, index: number, found: readonly FoundPassage[], screening: Screening): ShotEdge {
  const base = { gate: gate.name, active: edge.active, ticks: edge.ticks, timeS: timed.timeS };
  const screened = screening.reasons.get(index);
  if (screened !== undefined) return { ...base, verdict: 'rejected', reason: screened };
  const passage = found.find((p) => p.gateIndex === timed.gateIndex);
  if (passage && (passage.leadingIndex === index || passage.trailingIndex === index)) return { ...base, verdict: 'used', reason: '' };
  return { ...base, verdict: 'rejected', reason: reasonFor(index, timed.timeS, passage, found.length > 0) };
}

function reasonFor(index: number, timeS: number, passage: FoundPassage | undefined, flightFound: boolean): string {
  if (!flightFound) return 'no flight found among the edges';
  if (timeS < 0) return 'before the firing';
  if (!passage) return 'does not fit the flight that the other gates saw';
  if (index < (passage.leadingIndex ?? passage.trailingIndex ?? index)) return 'ahead of the projectile';
  if (passage.trailingIndex !== undefined && index < passage.trailingIndex) return 'repeated while the projectile was in the beam';
  return 'behind the projectile';
}
