import type { LiveBoard, RigSummary } from '../../../protocol/index.ts';

/** Of the rig file in its order, then those that are heard though it no longer names them. */
export function boardNames(rig: RigSummary | undefined, heard: Readonly<Record<string, LiveBoard>>): readonly string[] {
  return [...new Set([...(rig?.boards ?? []).map(({ name }) => name), ...Object.keys(heard)])];
}
