/** A simulated Firmata board on a real pseudo-terminal, and a link to it, for tests: nothing waits on a clock. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import {
  createBme280,
  createFirmataBoard,
  type FirmataBoardOptions,
  type LiveFirmataBoard,
  startLiveFirmataBoard,
} from '../../firmware-sim/boards/firmata-board/index.ts';
import type { ByteFault } from '../../firmware-sim/wires/faults.ts';
import type { LineEnd } from '../../firmware-sim/wires/memory.ts';
import { openPtyWire, type PtyWire } from '../../firmware-sim/wires/pty.ts';
import { FIRMATA_TIMING, FirmataLink, type FirmataSetup, type FirmataTiming } from '../../host/links/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';

export const AIR = { temperatureK: 291.37, pressurePa: 98_765, relativeHumidity: 0.543 };

/** Short, so that tests of silence last less than a meal; long against what a busy machine needs. */
export const QUICK: FirmataTiming = {
  ...FIRMATA_TIMING,
  answerMs: 900,
  weatherMs: 200,
  silenceMs: 800,
  retryMs: [50, 200],
  lookMs: 50,
  i2cMs: 300,
};

/** Records as they come, and whoever waits for some. */
export class Arrivals {
  readonly items: PosternRecord[] = [];
  #waiting: (() => void)[] = [];

  add(record: PosternRecord): void {
    this.items.push(record);
    for (const wake of this.#waiting.splice(0)) wake();
  }

  async until(done: (items: readonly PosternRecord[]) => boolean): Promise<void> {
    while (!done(this.items)) await new Promise<void>((resolve) => this.#waiting.push(resolve));
  }

  /** Such a record, from the place `from` on. */
  async untilNext(from: number, isWanted: (record: PosternRecord) => boolean): Promise<void> {
    await this.until((items) => items.slice(from).some(isWanted));
  }
}

export interface FirmataRig {
  readonly portPath: string;
  readonly wire: PtyWire;
  openBoard(options?: Partial<FirmataBoardOptions>, fault?: ByteFault): LiveFirmataBoard;
  openEnd(end: LineEnd): LiveFirmataBoard;
  openLink(
    setup?: Partial<FirmataSetup>,
    timing?: Partial<FirmataTiming>,
    onRecord?: (record: PosternRecord) => void,
  ): { link: FirmataLink; records: Arrivals };
  close(): Promise<void>;
}

export async function openFirmataRig(): Promise<FirmataRig> {
  const folder = mkdtempSync(path.join(tmpdir(), 'postern-firmata-'));
  const portPath = path.join(folder, 'weather');
  const wire = await openPtyWire(portPath);
  const closers: (() => Promise<void> | void)[] = [() => rmSync(folder, { recursive: true, force: true }), () => wire.close()];
  const openEnd = (board: LineEnd, fault?: ByteFault): LiveFirmataBoard => {
    const live = startLiveFirmataBoard({ wire, board, seed: 11, ...(fault ? { fault } : {}) });
    closers.push(() => live.stop());
    return live;
  };
  return {
    portPath,
    wire,
    openEnd,
    openBoard: (options = {}, fault) => {
      const i2cDevices = options.i2cDevices ?? [createBme280({ air: () => AIR })];
      return openEnd(
        createFirmataBoard({ firmwareName: 'StandardFirmata.ino', baudRate: 57_600, analogVolts: [() => 2], ...options, i2cDevices }),
        fault,
      );
    },
    openLink: (setup = {}, timing = {}, onRecord) => {
      const records = new Arrivals();
      const startedNs = process.hrtime.bigint();
      const clock = { nowNs: () => Number(process.hrtime.bigint() - startedNs) };
      const link = new FirmataLink(
        { name: 'weather', path: portPath, baudRate: 57_600, bme280: 0x76, analogPins: [0], samplingIntervalMs: 20, ...setup },
        {
          clock,
          onRecord: (record) => {
            onRecord?.(record);
            records.add(record);
          },
        },
        { ...QUICK, ...timing },
      );
      closers.push(() => link.close());
      link.start();
      return { link, records };
    },
    close: async () => {
      for (const close of closers.reverse()) await close();
    },
  };
}

export const isReading = (key: string) => (record: PosternRecord) => record.kind === 'reading' && key in record.value;
export const isLink =
  (change: string, detail: RegExp = /./) =>
  (record: PosternRecord) =>
    record.kind === 'link' && record.value.change === change && detail.test(record.value.detail);
export const readings = (records: readonly PosternRecord[], key: string) =>
  records.flatMap((record) => (record.kind === 'reading' && key in record.value ? [record.value[key] as number] : []));
export const changes = (records: readonly PosternRecord[]) =>
  records.flatMap((record) => (record.kind === 'link' ? [record.value.change] : []));
export const details = (records: readonly PosternRecord[]) =>
  records.flatMap((record) => (record.kind === 'link' ? [record.value.detail] : []));
