/** When a beam was blocked from begin to end, from its edges. */

/** An edge at a gate, on one time axis with all others. */
export interface GateEdge {
  readonly gate: string;
  /** The beam was blocked; else it became clear. */
  readonly active: boolean;
  readonly timeS: number;
  readonly hardwareTimed: boolean;
}

export interface BeamBlock {
  readonly gate: string;
  readonly fromS: number;
  readonly toS: number;
  readonly hardwareTimed: boolean;
}

/** A detector that a slow ball crosses may let go and trip again as the light goes; so short a gap is none. */
const GAP_S_MAX = 2e-3;

/** @returns by their beginning; a block whose end or beginning was not seen is none */
export function beamBlocks(edges: readonly GateEdge[]): readonly BeamBlock[] {
  const blocks: BeamBlock[] = [];
  const open = new Map<string, GateEdge>();
  for (const edge of edges.toSorted((a, b) => a.timeS - b.timeS)) {
    const from = open.get(edge.gate);
    if (edge.active) {
      const before = blocks.findLastIndex((block) => block.gate === edge.gate);
      const last = blocks[before];
      if (last && edge.timeS - last.toS < GAP_S_MAX) {
        blocks.splice(before, 1);
        open.set(edge.gate, { ...edge, timeS: last.fromS, hardwareTimed: edge.hardwareTimed && last.hardwareTimed });
      } else open.set(edge.gate, edge);
    } else if (from) {
      open.delete(edge.gate);
      blocks.push({ gate: edge.gate, fromS: from.timeS, toS: edge.timeS, hardwareTimed: from.hardwareTimed && edge.hardwareTimed });
    }
  }
  return blocks.toSorted((a, b) => a.fromS - b.fromS);
}
