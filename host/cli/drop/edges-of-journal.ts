/** All edges at gates in a journal, also those that belong to no shot, as the pipeline heard them. */
import type { PosternRecord } from '../../../protocol/index.ts';
import type { BoardClock, GateEdge } from '../../analysis/drop/index.ts';
import { hostNs } from '../../metrology/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../pipeline/index.ts';
import { clockOf, nsPerTick } from '../../pipeline/time.ts';
import { gateBoard, type Rig } from '../../rig/index.ts';

type BoardEdge = PipelineState['shots']['waiting'][number];

export interface JournalEdges {
  /** The newest in the journal. */
  readonly rig: Rig | undefined;
  /** Of one gate board; of its newest start where it was started anew, whose ticks count from nothing. */
  edgesOf(board: string): readonly GateEdge[];
  clockOf(board: string): BoardClock;
}

/** Edges kept of one session; the first go. */
const EDGES_MAX = 10_000;

export function edgesOfJournal(records: Iterable<PosternRecord>): JournalEdges {
  let state = INITIAL_STATE;
  const heard = new Map<string, BoardEdge>();
  for (const record of records) {
    const [next] = step(state, record);
    if (next.shots !== state.shots) {
      for (const edge of [...next.shots.waiting, ...next.shots.records.flatMap(({ edges }) => edges)]) {
        heard.set(`${edge.board}/${edge.bootId}/${edge.seq}`, edge);
      }
      for (const key of heard.keys()) if (heard.size > EDGES_MAX) heard.delete(key);
    }
    state = next;
  }
  return {
    rig: state.rig,
    edgesOf: (board) => (state.rig ? gateEdges(state, state.rig, board, [...heard.values()]) : []),
    clockOf: (board) => {
      const rig = state.rig as Rig;
      const fitted = clockOf(state, rig, board);
      const { value = Number.NaN, standardUncertainty = 0 } = gateBoard(rig, board)?.tickRateHz ?? {};
      return {
        tickS: nsPerTick(state.boards[board], rig, board) / 1e9,
        rateStandardUncertainty: fitted?.rateStandardUncertainty ?? standardUncertainty / value,
      };
    },
  };
}

function gateEdges(state: PipelineState, rig: Rig, board: string, heard: readonly BoardEdge[]): readonly GateEdge[] {
  const mine = heard.filter((edge) => edge.board === board);
  const newestBoot = mine.at(-1)?.bootId;
  const perTickNs = nsPerTick(state.boards[board], rig, board);
  const fitted = clockOf(state, rig, board);
  return mine
    .filter(({ bootId }) => bootId === newestBoot)
    .flatMap(({ input, active, ticks, hardwareTimed }): GateEdge[] => {
      const gate = rig.gates.find((one) => one.board === board && one.input === input);
      if (!gate) return [];
      // By one rate from the first edge on: what is asked is how long apart they are.
      const timeS = (fitted ? hostNs(fitted, ticks) : ticks * perTickNs) / 1e9;
      return [{ gate: gate.name, active, timeS, hardwareTimed }];
    });
}
