/**
 * The link to an instrument that prints lines of text: a digital gauge, a weather meter, an anemometer. Its lines
 * become records as they came; what they say is the pipeline's to find, by the rig file's pattern or columns.
 */
import type { Conversation, DeviceLine } from './device.ts';
import { LINK_TIMING, type LinkTiming } from './link-timing.ts';
import { type LinkPorts, SupervisedLink } from './supervised-link.ts';

export interface TextSetup {
  readonly name: string;
  /** Needed unless there is a serial number. */
  readonly path?: string;
  readonly serialNumber?: string;
  readonly baudRate: number;
  /** Asked at once and then every so often, for an instrument that prints only when asked; sent with CR LF. */
  readonly poll?: { readonly text: string; readonly everyMs: number };
  /** Nothing for so long is silence: longer than the instrument's own pauses. */
  readonly silentAfterMs?: number;
}

/** Some instruments print once in five seconds. */
const SILENT_AFTER_MS = 12_000;
/** A polled one is silent after so many questions without an answer, and not before LINK_TIMING's silence. */
const POLLS_UNANSWERED = 4;

export class TextLink {
  readonly #link: SupervisedLink;
  readonly #setup: TextSetup;

  constructor(setup: TextSetup, ports: LinkPorts, timing: LinkTiming = LINK_TIMING) {
    this.#setup = setup;
    const { poll, silentAfterMs, ...device } = setup;
    const silenceMs = silentAfterMs ?? (poll ? Math.max(timing.silenceMs, POLLS_UNANSWERED * poll.everyMs) : SILENT_AFTER_MS);
    this.#link = new SupervisedLink({ ...device, lineEnding: 'any', converse: (line) => this.#converse(line) }, ports, {
      ...timing,
      silenceMs,
    });
  }

  start(): void {
    this.#link.start();
  }

  /** Resolves once the port is closed and the last record handed over. */
  close(): Promise<void> {
    return this.#link.close();
  }

  #converse(line: DeviceLine): Conversation {
    this.#ask(line);
    return {
      onBytes: () => line.accept('The instrument is heard.'),
      onLine: (bytes) => line.record({ kind: 'line', source: this.#setup.name, atNs: line.arrivedAtNs, bytes }),
    };
  }

  #ask(line: DeviceLine): void {
    const { poll } = this.#setup;
    if (poll === undefined) return;
    // A question that still waits is not put behind itself.
    if (line.pendingBytes === 0) line.write(Buffer.from(`${poll.text}\r\n`, 'latin1'));
    line.after(poll.everyMs, () => this.#ask(line));
  }
}
