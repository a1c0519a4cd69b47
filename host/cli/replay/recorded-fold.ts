/** The pipeline over recorded records, under the recorded rig file or a corrected one. Its state is a value, to be kept and gone back to. */
import type { OperatorRecord, PipelineEvent, PosternRecord, SessionNs } from '../../../protocol/index.ts';
import { finish, INITIAL_STATE, type PipelineState, proposeZero, step } from '../../pipeline/index.ts';
import { loadRig, type Rig } from '../../rig/index.ts';
import { type Checking, NOTHING_CHECKED, thenCheck } from '../camera/checking.ts';

export interface CorrectedRig {
  readonly fileName: string;
  readonly text: string;
}

export interface FoldState {
  readonly pipeline: PipelineState;
  readonly checking: Checking;
  /** The newest rig file that the journal has, whichever the session is reduced under. */
  readonly recorded: Rig | undefined;
  /** Of the records so far: a session ends as of its newest. */
  readonly newestNs: SessionNs;
}

export type FoldStep = readonly [FoldState, readonly PipelineEvent[]];

export const NOTHING_FOLDED: FoldState = { pipeline: INITIAL_STATE, checking: NOTHING_CHECKED, recorded: undefined, newestNs: 0 };

export function foldRecord(fold: FoldState, record: PosternRecord, corrected: CorrectedRig | undefined): FoldStep {
  const newestNs = Math.max(fold.newestNs, record.atNs);
  if (!corrected) {
    return told({ ...fold, newestNs }, step(fold.pipeline, record));
  }
  const recorded = record.kind === 'rig' ? recordedRig(fold, record.value) : fold.recorded;
  const asked = underCorrectedRig({ ...fold, recorded }, record, corrected);
  if ('refused' in asked) return [{ ...fold, recorded, newestNs }, [asked.refused]];
  return told({ ...fold, recorded, newestNs }, step(fold.pipeline, asked.record));
}

function told(fold: FoldState, [pipeline, said]: readonly [PipelineState, readonly PipelineEvent[]]): FoldStep {
  const [checking, events] = thenCheck(fold.checking, said);
  return [{ ...fold, pipeline, checking }, events];
}

/** The journal's end, whole or torn: as a live session ends. */
export function foldEnd(fold: FoldState): FoldStep {
  return told(fold, finish(fold.pipeline, fold.newestNs));
}

function recordedRig({ recorded }: FoldState, { text, fileName }: { readonly text: string; readonly fileName: string }): Rig | undefined {
  const loaded = loadRig(text, fileName);
  return loaded.ok ? loaded.rig : recorded;
}

type Asked = { readonly record: PosternRecord } | { readonly refused: PipelineEvent };

function underCorrectedRig(fold: FoldState, record: PosternRecord, corrected: CorrectedRig): Asked {
  if (record.kind === 'rig') return { record: { ...record, value: { ...record.value, ...corrected } } };
  return record.kind === 'operator' ? underCorrectedChannel(fold, record) : { record };
}

/**
 * A zero says what the channel should have shown, and that is as true under another conversion: what it takes to show it
 * is worked out anew from what the channel reads there. The points of a calibration are readings of the recorded
 * conversion, and mean nothing to another.
 */
function underCorrectedChannel({ pipeline, recorded }: FoldState, record: OperatorRecord): Asked {
  const { value: act, atNs } = record;
  if ((act.act !== 'zero' && act.act !== 'calibrate') || hasSameConversion(pipeline.rig, recorded, act.channel)) return { record };
  const refused = (why: string): Asked => ({ refused: { type: 'act-refused', atNs, act: act.act, why } });
  if (act.act === 'calibrate') {
    return refused(
      `${act.who} calibrated ${act.channel} at two points read by the recorded rig file's conversion, which the corrected one replaces; have the corrected file fit those points`,
    );
  }
  const anew = proposeZero(pipeline, act.channel, act.shouldReadSi, atNs);
  if (!anew.ok) return refused(`${act.who} set ${act.channel} to zero, which cannot be done under the corrected rig file: ${anew.why}`);
  return { record: { ...record, value: { ...anew.value.act, who: act.who } } };
}

function hasSameConversion(one: Rig | undefined, other: Rig | undefined, name: string): boolean {
  const [a, b] = [one, other].map((rig) => rig?.channels.find((channel) => channel.name === name));
  return a !== undefined && b !== undefined && JSON.stringify(a.conversion) === JSON.stringify(b.conversion);
}
