/** What the page says of a journal that is not being written, or has a hole. */
import type { RecordingState } from '../../../protocol/index.ts';

export interface RecordingWords {
  /** At this moment, and not only that something is missing for good. */
  readonly isNow: boolean;
  readonly title: string;
  readonly cause: string;
  /** What changes from moment to moment, and is not read out each time. */
  readonly amount: string;
  readonly advice: string;
}

/**
 * @param clockTime  of a session time, as the page writes it
 * @returns undefined where all is well and nothing is missing
 */
export function recordingWords(state: RecordingState | undefined, clockTime: (atNs: number) => string): RecordingWords | undefined {
  if (!state) return undefined;
  const { problem, waitingBytes, waitingBytesMax, lost } = state;
  const losses = lost
    ? `${lost.records} ${lost.records === 1 ? 'record is' : 'records are'} lost, from ${clockTime(lost.fromNs)} to ${clockTime(lost.toNs)} UTC, of ${lost.sources.join(', ')}.`
    : '';
  if (problem === '')
    return lost && { isNow: false, title: 'The recording has a hole.', cause: 'It goes on again.', amount: losses, advice: '' };
  const full = Math.round((100 * waitingBytes) / waitingBytesMax);
  return {
    isNow: true,
    title: 'NOT RECORDING.',
    cause: `The journal cannot be written: ${problem}.`,
    amount: `${bytesText(waitingBytes)} wait in memory, ${full} % of its room. ${losses === '' ? 'Nothing is lost yet.' : losses}`,
    advice: 'Edges stay on the boards as far as they have room. A shot fired now may be lost. Make room or mend the disk.',
  };
}

function bytesText(bytes: number): string {
  if (bytes < 10_000) return `${bytes} bytes`;
  return bytes < 10e6 ? `${Math.round(bytes / 1000)} kB` : `${Math.round(bytes / 1e6)} MB`;
}
