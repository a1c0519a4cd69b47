/** One opening of a Firmata board's port: who is there, its pins and its weather sensor set up, and both watched. */
import type { Conversation, DeviceLine } from '../device.ts';
import { type WeatherReading, watchBme280 } from './bme280-watch.ts';
import type { FirmataClient } from './firmata-client.ts';
import type { FirmataSetup, FirmataTiming } from './firmata-setup.ts';
import type { Identity } from './handshake.ts';
import type { LastingParts } from './lasting-parts.ts';
import { asSentence, type LinkPart, LinkProblems } from './link-problems.ts';

export interface ConversationParts {
  readonly setup: FirmataSetup;
  readonly timing: FirmataTiming;
  readonly lasting: LastingParts;
}

export class FirmataConversation implements Conversation {
  readonly #line: DeviceLine;
  readonly #setup: FirmataSetup;
  readonly #timing: FirmataTiming;
  readonly #lasting: LastingParts;
  readonly #problems = new LinkProblems();
  /** Ends all that waits on this opening. */
  readonly #abort = new AbortController();
  #client: FirmataClient | undefined;
  #isRunning = false;
  #identity = '';
  /** In a row, since the last byte. */
  #silentLooks = 0;
  #looks = 0;
  #faultsBefore = 0;

  constructor(line: DeviceLine, { setup, timing, lasting }: ConversationParts) {
    this.#line = line;
    this.#setup = setup;
    this.#timing = timing;
    this.#lasting = lasting;
    this.#talk(this.#abort.signal).catch((error: Error) => {
      this.#line.fail(`The host's driver for it failed (${error.message.slice(0, 200)}); the port is opened anew.`);
    });
  }

  onBytes(bytes: Uint8Array): void {
    this.#silentLooks = 0;
    for (const counts of this.#client?.receive(bytes) ?? []) {
      if (!this.#isRunning) continue;
      for (const { atNs, value } of this.#lasting.pins.take(counts, this.#line.arrivedAtNs)) this.#tell(value, atNs);
    }
  }

  onClosed(): void {
    this.#isRunning = false;
    this.#abort.abort();
    this.#client?.detach();
  }

  async #talk(signal: AbortSignal): Promise<void> {
    const client = await this.#lasting.load(signal);
    if (client === undefined) return;
    this.#client = client;
    client.attach(this.#line);
    const identity = await client.handshake(signal);
    if (signal.aborted) return;
    if (identity === undefined) {
      // Where nothing at all is heard, the link's own silence says so.
      if (this.#line.arrivedAtNs > 0) this.#line.refuse(noAnswerAt(this.#line.path));
      return;
    }
    const { firmware, bme280 } = this.#setup;
    if (firmware !== undefined && identity.firmware !== firmware) {
      const found = `the firmware at ${this.#line.path} is ${identity.firmware}, expected ${firmware}`;
      this.#line.refuse(asSentence(`${found}; check which device is on this port`));
      return;
    }
    this.#run(client, identity);
    if (bme280 !== undefined) await this.#watchWeather(client, bme280, signal);
  }

  #run(client: FirmataClient, { firmware, version }: Identity): void {
    const { analogPins, samplingIntervalMs, analogBits } = this.#setup;
    const { pins, weather } = this.#lasting;
    weather.reset();
    pins.begin(analogBits === undefined ? client.fullScale : 2 ** analogBits - 1);
    this.#identity = `firmware ${firmware} ${version} is heard`;
    this.#faultsBefore = this.#faultCount();
    this.#line.accept(asSentence(this.#identity));
    this.#isRunning = true;
    this.#silentLooks = 0;
    const missing = client.startAnalog(analogPins, samplingIntervalMs).map((channel) => `A${channel}`);
    if (missing.length > 0) this.#tellProblem('missing-pins', `the board has no analog pin ${missing.join(', ')}`);
    this.#line.after(this.#timing.lookMs, () => this.#look(client));
  }

  #watchWeather(client: FirmataClient, address: number, signal: AbortSignal): Promise<void> {
    const { weatherMs, silenceMs } = this.#timing;
    return watchBme280(
      { bus: client.i2c, address },
      { everyMs: weatherMs, silenceMs },
      {
        onReading: (reading) => this.#onWeather(reading),
        onProblem: (detail) => this.#tellProblem('weather', detail),
        onOutOfRange: () => this.#lasting.countOutOfRange(),
        onGivenUp: (detail) => this.#line.fail(asSentence(detail)),
      },
      signal,
    );
  }

  #onWeather(reading: WeatherReading): void {
    const { arrivedAtNs } = this.#line;
    // Where it had to be confirmed, only the newest: the one before it is a second old.
    if (this.#lasting.weather.take(reading, arrivedAtNs).at(-1)?.value !== reading) return;
    this.#tell({ temperature: reading.temperatureK, pressure: reading.pressurePa, humidity: reading.humidity }, arrivedAtNs);
  }

  /** Silence is counted in looks, not read from a clock: see open-line.ts, which watches the board's own. */
  #look(client: FirmataClient): void {
    const { silenceMs, lookMs, noiseMs } = this.#timing;
    const looks = Math.ceil(silenceMs / lookMs);
    this.#looks += 1;
    this.#silentLooks += 1;
    const silence = this.#lasting.pins.look(looks);
    // With every pin the board itself is silent.
    if (silence.fallen !== undefined && this.#silentLooks < looks) {
      this.#line.fail(`No reading from ${silence.fallen} any more; the port is opened anew.`);
      return;
    }
    // A board with nothing to report is not a dead one.
    if (this.#silentLooks === Math.ceil(looks / 2)) client.ask();
    if (silence.isDue) client.startAnalog(this.#setup.analogPins, this.#setup.samplingIntervalMs);
    this.#tellProblem('silent-pins', silence.names.length > 0 ? `no reading from ${silence.names.join(', ')}` : '');
    if (this.#looks % Math.ceil(noiseMs / lookMs) === 0) this.#tellNoise();
    this.#line.after(lookMs, () => this.#look(client));
  }

  /** Its beginning and its end, not each count between. */
  #tellNoise(): void {
    const count = this.#faultCount() - this.#faultsBefore;
    this.#faultsBefore += count;
    if (count === 0) this.#tellProblem('line', '');
    else if (!this.#problems.has('line')) {
      const counted = `${count} messages unreadable or not to be believed within ${this.#timing.noiseMs / 1000} s`;
      this.#tellProblem('line', `the line is noisy: ${counted}; check cable and ground`);
    }
  }

  #faultCount(): number {
    const { unreadable, untrue } = this.#lasting.faults;
    return unreadable + untrue;
  }

  #tell(value: Readonly<Record<string, number>>, atNs: number): void {
    this.#line.record({ kind: 'reading', source: this.#setup.name, atNs, value });
  }

  /** @param detail  empty: all is well with this part (again) */
  #tellProblem(part: LinkPart, detail: string): void {
    this.#problems.set(part, detail);
    this.#line.remark(this.#problems.after(this.#identity));
  }
}

const noAnswerAt = (path: string): string =>
  `Nothing that speaks Firmata answers at ${path}; check that it is the right device, its firmware and its baud rate.`;
