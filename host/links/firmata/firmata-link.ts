/**
 * The link to a board that runs the common Firmata firmware: slow analog pins and a BME280 weather sensor. Keeps the
 * port open through unplugging, silence and absence, and hands over what the board says as readings.
 *
 * Firmata has no checksum, no sequence number and no clock of the board's: every value is checked for range and for
 * standing alone, and its time is that of its arrival. No value is ever handed over twice, or after its port was lost.
 */
import type { PosternRecord } from '../../../protocol/index.ts';
import type { LinkPorts } from '../supervised-link.ts';
import { AnalogPins } from './analog-pins.ts';
import { type WeatherReading, watchBme280 } from './bme280-watch.ts';
import type { ByteConnection } from './byte-connection.ts';
import type { FirmataClient } from './firmata-client.ts';
import { FIRMATA_TIMING, type FirmataSetup, type FirmataTiming } from './firmata-setup.ts';
import { CHANGE_OF, type LinkCondition } from './link-condition.ts';
import { type LinkPart, LinkProblems } from './link-problems.ts';
import { PortKeeper } from './port-keeper.ts';
import { createWeatherGuard } from './weather-guard.ts';

const NO_ANSWER = 'nothing that speaks Firmata answers; check that it is the right device, its firmware and its baud rate';

export class FirmataLink {
  readonly #setup: FirmataSetup;
  readonly #ports: LinkPorts;
  readonly #timing: FirmataTiming;
  readonly #keeper: PortKeeper;
  readonly #pins: AnalogPins;
  readonly #weather = createWeatherGuard();
  readonly #problems = new LinkProblems();
  #client: FirmataClient | undefined;
  /** Ends all that waits on the present connection. */
  #abort = new AbortController();
  #started = false;
  #closed = false;
  #running = false;
  #identity = '';
  #looks = 0;
  /** In a row, since the last byte, while running. */
  #silentLooks = 0;
  #unreadable = 0;
  #outOfRange = 0;
  #toldFaults = 0;
  #toldNs = 0;
  #told = '';

  constructor(setup: FirmataSetup, ports: LinkPorts, timing: FirmataTiming = FIRMATA_TIMING) {
    this.#setup = setup;
    this.#ports = ports;
    this.#timing = timing;
    this.#pins = new AnalogPins(setup.analogPins);
    this.#keeper = new PortKeeper(setup, timing, {
      onOpened: (connection) => this.#onOpened(connection),
      onBytes: (bytes) => this.#onBytes(bytes),
      onLost: (detail) => this.#onLost(detail),
      onRefused: (detail) => this.#tellCondition('searching', detail),
      onLook: (connection) => this.#onLook(connection),
    });
  }

  /** What the line has spoilt since `start`, as far as it showed. */
  get faults(): { readonly unreadable: number; readonly untrue: number } {
    return { unreadable: this.#unreadable, untrue: this.#outOfRange + this.#pins.dropped + this.#weather.dropped };
  }

  /** The client's emitters, for a test that nothing piles up on them. */
  get emitters(): FirmataClient['emitters'] {
    return this.#client?.emitters ?? [];
  }

  /** Opens the port, and again whenever it is lost, until `close`. */
  start(): void {
    if (this.#started || this.#closed) return;
    this.#started = true;
    this.#tellCondition('searching', '');
    this.#keeper.start();
  }

  /** Resolves once the port is closed and the last record handed over. */
  async close(): Promise<void> {
    if (this.#closed) return;
    this.#closed = true;
    this.#abort.abort();
    await this.#keeper.close();
    this.#client?.close();
    if (this.#started) this.#tellCondition('closed', '');
  }

  #onOpened(connection: ByteConnection): void {
    this.#abort = new AbortController();
    this.#talk(connection, this.#abort.signal).catch((error: Error) => {
      // Whatever a library throws ends in the link's state, not in the process.
      this.#giveUp(connection, 'lost', `the driver failed: ${error.message}`);
    });
  }

  async #talk(connection: ByteConnection, signal: AbortSignal): Promise<void> {
    const client = await this.#getClient();
    if (signal.aborted || this.#closed) return;
    client.attach(connection);
    const identity = await client.handshake(signal);
    if (signal.aborted) return;
    const { firmware, analogPins, samplingIntervalMs, analogBits, bme280 } = this.#setup;
    if (identity === undefined) return this.#giveUp(connection, 'no-answer', NO_ANSWER);
    if (firmware !== undefined && identity.firmware !== firmware) {
      const detail = `the firmware there is ${identity.firmware}, expected ${firmware}; check which device is on this port`;
      return this.#giveUp(connection, 'wrong-device', detail);
    }
    this.#running = true;
    this.#silentLooks = 0;
    this.#keeper.isWell();
    this.#problems.clear();
    this.#weather.reset();
    this.#pins.begin(analogBits === undefined ? client.fullScale : 2 ** analogBits - 1);
    this.#identity = `firmware ${identity.firmware} ${identity.version}`;
    this.#tellCondition('running', this.#identity);
    const missing = client.startAnalog(analogPins, samplingIntervalMs).map((channel) => `A${channel}`);
    if (missing.length > 0) this.#tellProblem('missing-pins', `the board has no analog pin ${missing.join(', ')}`);
    if (bme280 !== undefined) await this.#watchWeather(client, connection, bme280, signal);
  }

  /** The libraries cost a fifth of a second to load: only where a rig has such a board. */
  async #getClient(): Promise<FirmataClient> {
    const { FirmataClient } = await import('./firmata-client.ts');
    this.#client ??= new FirmataClient(this.#timing, {
      onFault: () => {
        this.#unreadable += 1;
      },
    });
    return this.#client;
  }

  #watchWeather(client: FirmataClient, connection: ByteConnection, address: number, signal: AbortSignal): Promise<void> {
    return watchBme280(
      { bus: client.i2c, address },
      { everyMs: this.#timing.weatherMs, silenceMs: this.#timing.silenceMs },
      {
        onReading: (reading) => this.#onWeather(reading),
        onProblem: (detail) => this.#tellProblem('weather', detail),
        onOutOfRange: () => {
          this.#outOfRange += 1;
        },
        onGivenUp: (detail) => this.#giveUp(connection, 'silent', detail),
      },
      signal,
    );
  }

  #giveUp(connection: ByteConnection, condition: LinkCondition, detail: string): void {
    this.#running = false;
    this.#tellCondition(condition, detail);
    connection.lose(detail);
  }

  #onLost(detail: string): void {
    this.#abort.abort();
    this.#client?.detach();
    if (this.#running) this.#tellCondition('lost', detail);
    this.#running = false;
  }

  #onBytes(bytes: Uint8Array): void {
    this.#silentLooks = 0;
    const atNs = this.#ports.clock.nowNs();
    for (const counts of this.#client?.receive(bytes) ?? []) {
      if (!this.#running) continue;
      for (const reading of this.#pins.take(counts, atNs)) this.#tellReading(reading.atNs, reading.value);
    }
  }

  #onWeather(reading: WeatherReading): void {
    const atNs = this.#ports.clock.nowNs();
    // Where it had to be confirmed, only the newest: the one before it is a second old.
    if (this.#weather.take(reading, atNs).at(-1)?.value !== reading) return;
    this.#tellReading(atNs, { temperature: reading.temperatureK, pressure: reading.pressurePa, humidity: reading.humidity });
  }

  /** Silence is counted in looks, not read from a clock: see the gate board's link. */
  #onLook(connection: ByteConnection): void {
    const client = this.#client;
    if (client === undefined || !this.#running) return;
    const { silenceMs, lookMs, faultsToldMs } = this.#timing;
    const looks = Math.ceil(silenceMs / lookMs);
    this.#silentLooks += 1;
    const silence = this.#pins.look(looks);
    if (this.#silentLooks >= looks || silence.fallen !== undefined) {
      const detail =
        silence.fallen === undefined ? `silent: not a byte for ${silenceMs / 1000} s` : `no reading from ${silence.fallen} any more`;
      this.#giveUp(connection, 'silent', detail);
      return;
    }
    // A board with nothing to report is not a dead one.
    if (this.#silentLooks === Math.ceil(looks / 2)) client.ask();
    if (silence.isDue) client.startAnalog(this.#setup.analogPins, this.#setup.samplingIntervalMs);
    this.#tellProblem('silent-pins', silence.names.length > 0 ? `no reading from ${silence.names.join(', ')}` : '');
    this.#looks += 1;
    if (this.#looks % Math.ceil(faultsToldMs / lookMs) === 0) this.#tellFaults();
  }

  #tellFaults(): void {
    const { unreadable, untrue } = this.faults;
    const isNew = unreadable + untrue > this.#toldFaults;
    this.#toldFaults = unreadable + untrue;
    const counted = `${unreadable} messages unreadable, ${untrue} values not to be believed`;
    this.#tellProblem('line', isNew ? `the line is noisy: ${counted}; check cable and ground` : '');
  }

  #tellReading(atNs: number, value: Readonly<Record<string, number>>): void {
    this.#tell({ kind: 'reading', source: this.#setup.name, atNs, value });
  }

  /** Something about a part of a link that runs. @param detail  empty: all is well with it (again) */
  #tellProblem(part: LinkPart, detail: string): void {
    if (!this.#running) return;
    this.#problems.set(part, detail);
    this.#tellCondition('running', this.#problems.after(this.#identity));
  }

  #tellCondition(condition: LinkCondition, detail: string): void {
    const told = `${condition} ${detail}`;
    if (told === this.#told) return;
    this.#told = told;
    const value = { change: CHANGE_OF[condition], path: this.#setup.path, detail };
    this.#tell({ kind: 'link', source: this.#setup.name, atNs: this.#ports.clock.nowNs(), value });
  }

  /** Records of one source never step back in time. */
  #tell(record: PosternRecord): void {
    this.#toldNs = Math.max(this.#toldNs, record.atNs);
    this.#ports.onRecord({ ...record, atNs: this.#toldNs });
  }
}
