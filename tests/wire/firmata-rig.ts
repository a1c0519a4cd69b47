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
import { FIRMATA_TIMING, FirmataLink, type FirmataSetup, type FirmataTiming, type ListPorts, PortBook } from '../../host/links/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';
import { Arrivals } from '../support/arrivals.ts';

export const AIR = { temperatureK: 291.37, pressurePa: 98_765, relativeHumidity: 0.543 };

/** Short, so that tests of silence last less than a meal; long against what a busy machine needs. */
export const QUICK: FirmataTiming = {
  ...FIRMATA_TIMING,
  answerMs: 900,
  weatherMs: 200,
  silenceMs: 800,
  proofMs: 1500,
  wrongMs: 200,
  steadyMs: 100,
  retryMs: [50, 200],
  lookMs: 50,
  i2cMs: 300,
};

export interface FirmataRig {
  readonly portPath: string;
  readonly wire: PtyWire;
  openBoard(options?: Partial<FirmataBoardOptions>, fault?: ByteFault): LiveFirmataBoard;
  openEnd(end: LineEnd): LiveFirmataBoard;
  openLink(
    setup?: Partial<FirmataSetup>,
    timing?: Partial<FirmataTiming>,
    onRecord?: (record: PosternRecord) => void,
    listPorts?: ListPorts,
  ): { link: FirmataLink; records: Arrivals<PosternRecord> };
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
    openLink: (setup = {}, timing = {}, onRecord, listPorts) => {
      const records = new Arrivals<PosternRecord>();
      const startedNs = process.hrtime.bigint();
      const clock = { nowNs: () => Number(process.hrtime.bigint() - startedNs) };
      const link = new FirmataLink(
        { name: 'weather', path: portPath, baudRate: 57_600, bme280: 0x76, analogPins: [0], samplingIntervalMs: 20, ...setup },
        {
          clock,
          ...(listPorts ? { book: new PortBook({ list: listPorts }) } : {}),
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
