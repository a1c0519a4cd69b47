/** Small helpers for tests that look at raw lines. */
import {
  type Decoded,
  decodeBoardLine,
  decodeHostLine,
  encodeMessage,
  type Message,
  type Sequenced,
  wireLayout,
} from '../../protocol/index.ts';

/** Decodes a line as its receiver would. */
export function decodeFrom(sender: 'board' | 'host', line: string): Decoded<Sequenced> {
  return sender === 'board' ? decodeBoardLine(line) : decodeHostLine(line);
}

/** @throws Error for a kind that is not in the layout */
export function senderOf(kind: string): 'board' | 'host' {
  const layout = wireLayout.get(kind);
  if (!layout) throw new Error(`no message ${kind}`);
  return layout.sender;
}

/** The line that a decoded message would be sent as. */
export function encodeAgain(message: Sequenced): string {
  return encodeMessage(message as Message, message.seq);
}
