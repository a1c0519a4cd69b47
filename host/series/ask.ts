/** Asks a server something; what comes back is bounded in time and size, whoever it is. */
import { shortReason } from './sender.ts';
import { authorization, type SeriesServer } from './server.ts';

const TIMEOUT_MS = 15_000;
const ANSWER_BYTES_MAX = 64 * 1024 * 1024;

/** The server did not answer, or not as it should; the message is one sentence's middle. */
export class AskError extends Error {}

/** @throws (rejects) AskError */
export async function ask(server: SeriesServer, address: string, bytesMax = ANSWER_BYTES_MAX): Promise<string> {
  const { answer, text } = await askOnce(server, address, bytesMax).catch((error: unknown) => {
    // A kept connection that the server has shut meanwhile is found shut only by using it.
    if (error instanceof AskError) throw error;
    return askOnce(server, address, bytesMax).catch((again: unknown) => {
      throw again instanceof AskError ? again : new AskError(shortReason(reasonOf(again)), { cause: again });
    });
  });
  if (answer.ok) return text;
  throw new AskError(shortReason(`${answer.status} ${text || answer.statusText}`));
}

async function askOnce(
  server: SeriesServer,
  address: string,
  bytesMax: number,
): Promise<{ readonly answer: Response; readonly text: string }> {
  const answer = await fetch(address, { headers: authorization(server), signal: AbortSignal.timeout(TIMEOUT_MS), redirect: 'error' });
  return { answer, text: await boundedText(answer, bytesMax) };
}

async function boundedText(answer: Response, bytesMax: number): Promise<string> {
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of answer.body ?? []) {
    bytes += part.length;
    if (bytes > bytesMax) throw new AskError(`its answer has more than ${bytesMax} bytes; ask for less`);
    parts.push(part);
  }
  return Buffer.concat(parts).toString('utf8');
}

function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const { cause } = error;
  return cause instanceof Error && cause.message !== '' ? cause.message : ((cause as NodeJS.ErrnoException)?.code ?? error.message);
}
