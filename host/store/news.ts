/**
 * Which events are kept one by one: what is news. Samples, shots and sessions have tables of their own; what is
 * said many times a second, or only to boards, is left in the journal. Of a fill and a pump-down each change of phase.
 */
import type { CameraTold, PipelineEvent } from '../../protocol/index.ts';

export interface EventRow {
  readonly session: string;
  readonly atNs: bigint;
  readonly type: string;
  /** Channel, board, limit or shot that it is about; empty where it is about all. */
  readonly about: string;
  readonly eventJson: string;
}

/** Keeps in mind which phases it has heard of. */
export class NewsReader {
  readonly #phases = new Map<string, string>();

  row(session: string, event: PipelineEvent): EventRow | undefined {
    const about = aboutOf(event);
    if (about === undefined || !this.#isNew(session, event, about)) return undefined;
    return { session, atNs: BigInt(Math.round(event.atNs)), type: event.type, about, eventJson: JSON.stringify(toldOf(event)) };
  }

  forget(session: string): void {
    for (const key of this.#phases.keys()) if (key.startsWith(`${JSON.stringify(session)} `)) this.#phases.delete(key);
  }

  #isNew(session: string, event: PipelineEvent, about: string): boolean {
    if (event.type !== 'fill' && event.type !== 'vacuum') return true;
    const key = `${JSON.stringify(session)} ${event.type} ${about}`;
    if (this.#phases.get(key) === event.phase) return false;
    this.#phases.set(key, event.phase);
    return true;
  }
}

/** A track's places are kept once, with the shot. */
function toldOf(event: PipelineEvent): PipelineEvent | CameraTold {
  if (event.type !== 'camera-act' || !event.track) return event;
  const { track, ...told } = event;
  return { ...told, marked: { marks: track.marks.length, frames: track.frames.length } };
}

/** undefined: no news. */
function aboutOf(event: PipelineEvent): string | undefined {
  switch (event.type) {
    case 'link':
    case 'board':
      return event.source;
    case 'fill':
    case 'vacuum':
    case 'health':
    case 'adjusted':
      return event.channel;
    case 'limit':
      return event.id;
    case 'blow-down':
    case 'shot-excluded':
    case 'shot-weighed':
    case 'camera-act':
    case 'track-withdrawn':
      return event.shotId;
    case 'note':
      return event.shotId ?? '';
    case 'hold-points':
    case 'act-refused':
    case 'rig-rejected':
      return '';
    default:
      return undefined;
  }
}
