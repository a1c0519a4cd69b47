/**
 * The host's log, for whoever looks after a machine that nobody watches: one JSON object a line, into a file.
 *
 * It never stands in the way of the recording: lines wait in memory until the disk takes them, at most
 * WAITING_BYTES_MAX of them; what comes beyond is dropped and counted, and told once the disk takes lines again.
 * It keeps no old files: the system's log rotation renames the file and sends SIGUSR2, upon which it is opened anew.
 */
import { appendFileSync } from 'node:fs';
import { type DestinationStream, type Logger, pino } from 'pino';
import { serverLog } from '../../serve/index.ts';
import { CommandError, messageOf, warn } from '../output.ts';

export const WAITING_BYTES_MAX = 1024 * 1024;
const CLOSING_MS_MAX = 2_000;
const ROTATE = 'SIGUSR2';

type Destination = ReturnType<typeof pino.destination>;

export class HostLog {
  readonly logger: Logger;
  readonly #file: string;
  readonly #destination: Destination | undefined;
  #session: string | undefined;
  #linesDropped = 0;
  #linesDroppedTold = 0;
  #failure = '';

  /**
   * @param file  left out: nothing is logged
   * @throws CommandError (rejects) where it cannot be opened
   */
  static async open(file: string | undefined): Promise<HostLog> {
    if (file === undefined) return new HostLog('', undefined);
    const destination = pino.destination({ dest: file, sync: false, maxLength: WAITING_BYTES_MAX });
    try {
      await new Promise<void>((resolve, reject) => {
        destination.once('ready', resolve);
        destination.once('error', reject);
      });
    } catch (error) {
      throw new CommandError(`The log ${file} cannot be opened: ${messageOf(error)}`, 1, { cause: error });
    }
    return new HostLog(file, destination);
  }

  private constructor(file: string, destination: Destination | undefined) {
    this.#file = file;
    this.#destination = destination;
    // Also without a file: a signal meant for the log must not end a measurement.
    process.on(ROTATE, this.#onRotate);
    if (!destination) {
      this.logger = serverLog();
      return;
    }
    destination.on('error', (error) => this.#onError(error));
    destination.on('write', () => this.#onWritten());
    destination.on('drop', () => {
      this.#linesDropped += 1;
    });
    // The library's own tries for ever where the disk is full, and is called at a process's end and for a fatal line.
    destination.flushSync = () => undefined;
    this.logger = makeLogger(destination, () => this.#session);
    process.on('uncaughtExceptionMonitor', this.#onCrash);
  }

  /** From now on each line names it. */
  set session(sessionId: string) {
    this.#session = sessionId;
  }

  get linesDropped(): number {
    return this.#linesDropped;
  }

  /** What still waits is written, where the disk takes it within two seconds. */
  async close(): Promise<void> {
    process.off(ROTATE, this.#onRotate);
    process.off('uncaughtExceptionMonitor', this.#onCrash);
    const destination = this.#destination;
    if (!destination) return;
    await new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, CLOSING_MS_MAX);
      const done = (): void => {
        clearTimeout(timer);
        resolve();
      };
      destination.once('close', done);
      destination.once('error', done);
      destination.end();
    });
    destination.destroy();
  }

  readonly #onRotate = (): void => this.#destination?.reopen();

  readonly #onCrash = (error: Error): void => {
    const atOnce = { write: (line: string): void => appendOrForget(this.#file, line) };
    makeLogger(atOnce, () => this.#session).fatal({ err: error }, 'the host ends by a fault of its own');
  };

  #onError(error: Error): void {
    if (this.#failure !== '') return;
    this.#failure = error.message;
    const bound = `${WAITING_BYTES_MAX / 1024 / 1024} MiB`;
    warn(`The log ${this.#file} cannot be written (${error.message}): beyond ${bound} its lines are dropped. The recording goes on.`);
  }

  #onWritten(): void {
    this.#failure = '';
    const linesDropped = this.#linesDropped - this.#linesDroppedTold;
    if (linesDropped === 0) return;
    this.#linesDroppedTold = this.#linesDropped;
    this.logger.warn({ linesDropped }, 'the log is written again; lines were dropped');
  }
}

function makeLogger(destination: DestinationStream, sessionOf: () => string | undefined): Logger {
  const options = {
    base: { pid: process.pid },
    timestamp: pino.stdTimeFunctions.isoTime,
    formatters: { level: (level: string) => ({ level }) },
    mixin: () => {
      const session = sessionOf();
      return { source: 'host', ...(session === undefined ? {} : { session }) };
    },
    // An address may carry a secret behind its question mark, a header does.
    redact: {
      paths: ['req.url', 'req.headers', 'token', '*.token'],
      censor: (value: unknown, path: string[]) => (path.at(-1) === 'url' ? String(value).split('?', 1)[0] : '[not logged]'),
    },
  };
  return serverLog(destination, options);
}

function appendOrForget(file: string, line: string): void {
  try {
    appendFileSync(file, line);
  } catch {
    // There is no later moment; the system's own words about the fault are on standard error.
  }
}
