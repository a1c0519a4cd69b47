/**
 * Lines that the journal had to refuse while the disk took nothing. Edges among them are still on their boards, so they
 * are asked for again until they are recorded, and nothing from them on is acknowledged before that.
 */
import { decodeBoardLine, type HostMessage, type PosternRecord, WIRE } from '../../../protocol/index.ts';

interface Refused {
  /** Of the board's start that the numbers belong to. */
  readonly bootId: number;
  readonly seqs: Set<number>;
}

/** More edges than any board holds: those beyond them are held back by those before. */
const EDGES_MAX = 4096;

export class UnrecordedLines {
  readonly #bySource = new Map<string, Refused>();
  /** Boards of which a line was refused, and none recorded since. */
  readonly #interrupted = new Set<string>();

  /** @param bootId  of the board's present start; undefined where it is no gate board, or not known yet */
  note(record: PosternRecord, isRecorded: boolean, bootId: number | undefined): void {
    if (record.kind !== 'line' || bootId === undefined || (isRecorded && this.#bySource.size === 0)) return;
    if (!isRecorded) this.#interrupted.add(record.source);
    const decoded = decodeBoardLine(Buffer.from(record.bytes).toString('latin1'));
    if (!decoded.ok || decoded.value.kind !== 'EDGE') return;
    const known = this.#bySource.get(record.source);
    const refused = known?.bootId === bootId ? known : { bootId, seqs: new Set<number>() };
    if (isRecorded) refused.seqs.delete(decoded.value.seq);
    else if (refused.seqs.size < EDGES_MAX) refused.seqs.add(decoded.value.seq);
    if (refused.seqs.size > 0) this.#bySource.set(record.source, refused);
    else this.#bySource.delete(record.source);
  }

  /** True once, with the first line that is recorded again: a HELLO may be among those that were not, and must be. */
  isResumedBy(record: PosternRecord, isRecorded: boolean): boolean {
    return isRecorded && record.kind === 'line' && this.#interrupted.delete(record.source);
  }

  /** What to send in place of an acknowledgement that is not true yet; undefined where it is. */
  askInstead(source: string, message: HostMessage): HostMessage | undefined {
    const refused = this.#bySource.get(source);
    if (message.kind !== 'ACK' || refused?.bootId !== message.bootId) return undefined;
    const seqs = [...refused.seqs].filter((seq) => seq <= message.upToSeq);
    if (seqs.length === 0) return undefined;
    const fromSeq = Math.min(...seqs);
    const toSeq = Math.min(Math.max(...seqs), fromSeq + WIRE.resendFramesMax - 1);
    return { kind: 'RESEND', bootId: refused.bootId, fromSeq, toSeq };
  }
}
