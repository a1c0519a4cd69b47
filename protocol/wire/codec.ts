/** Messages to lines and back. */
import { type Decoded, decodeFrame, encodeFrame, type Frame, wireFault } from './frame.ts';
import { type MessageLayout, wireLayout } from './layout.ts';
import type { BoardMessage, HostMessage, Message, Sequenced } from './messages.ts';

/**
 * @param seq  the sender's number of this frame, 0 to 0xFFFFFFFF
 * @returns the line without its line feed
 * @throws RangeError where a value does not fit its field, or two do not go together (caller's bug)
 */
export function encodeMessage(message: Message, seq: number): string {
  const { kind } = message;
  const layout = wireLayout.get(kind);
  if (layout === undefined) throw new RangeError(`no message ${kind}`);
  const values = message as unknown as Readonly<Record<string, unknown>>;
  const fields = layout.fields.map((field) => {
    const text = field.encode(values[field.name]);
    if (text === undefined) throw new RangeError(`${kind} ${field.name}: ${String(values[field.name])}, expected ${field.expected}`);
    return text;
  });
  const { relation } = layout;
  if (relation && !relation.holds(message)) {
    throw new RangeError(`${kind} ${relation.place}: ${relation.found(message)}, expected ${relation.expected}`);
  }
  return encodeFrame({ kind, seq, fields });
}

/** A line that a board sent: its message, or what is wrong with it. Never throws. */
export function decodeBoardLine(line: string): Decoded<Sequenced<BoardMessage>> {
  return decodeLine(line, 'board') as Decoded<Sequenced<BoardMessage>>;
}

/** A line that a host sent: its message, or what is wrong with it. Never throws. */
export function decodeHostLine(line: string): Decoded<Sequenced<HostMessage>> {
  return decodeLine(line, 'host') as Decoded<Sequenced<HostMessage>>;
}

function decodeLine(line: string, sender: MessageLayout['sender']): Decoded<Sequenced> {
  const frame = decodeFrame(line);
  if (!frame.ok) return frame;
  const { kind, seq } = frame.value;
  const layout = wireLayout.get(kind);
  if (layout?.sender !== sender) {
    const kinds = [...wireLayout].filter(([, { sender: by }]) => by === sender).map(([known]) => known);
    return wireFault('unknown-kind', 'kind', kind, `one of ${kinds.join(' ')}`, seq);
  }
  return decodeFields(frame.value, layout);
}

function decodeFields({ kind, seq, fields }: Frame, layout: MessageLayout): Decoded<Sequenced> {
  if (fields.length !== layout.fields.length) {
    return wireFault('bad-field', 'line', `${fields.length} fields`, `${layout.fields.length} fields in ${kind}`, seq);
  }
  const values: Record<string, unknown> = { kind, seq };
  for (const [i, field] of layout.fields.entries()) {
    const text = fields[i] as string;
    const value = field.decode(text);
    if (value === undefined) return wireFault('bad-field', field.name, text, field.expected, seq);
    values[field.name] = value;
  }
  const message = values as unknown as Sequenced;
  const { relation } = layout;
  if (relation && !relation.holds(message)) {
    return wireFault('bad-field', relation.place, relation.found(message), relation.expected, seq);
  }
  return { ok: true, value: message };
}
