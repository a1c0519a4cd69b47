/** The link through a real pseudo-terminal and the real serial binding, as hardware would be opened. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openPtyWire, type PtyWire } from '../../firmware-sim/wires/pty.ts';
import { CONTINUED, GateBoardLink, LINK_TIMING, type LinkTiming, PIECE_BYTES_MAX } from '../../host/links/index.ts';
import { decodeHostLine, type PosternRecord } from '../../protocol/index.ts';
import { Arrivals } from '../support/arrivals.ts';

let folder: string;
let portPath: string;
let closers: (() => Promise<void>)[];

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'postern-link-'));
  portPath = path.join(folder, 'gate');
  closers = [];
});

afterEach(async () => {
  for (const close of closers.reverse()) await close();
  rmSync(folder, { recursive: true, force: true });
});

async function openWire(): Promise<PtyWire> {
  const wire = await openPtyWire(portPath);
  closers.push(() => wire.close());
  return wire;
}

function openLink(timing: Partial<LinkTiming> = {}, onRecord?: (record: PosternRecord) => void) {
  const records = new Arrivals<PosternRecord>();
  const startedNs = process.hrtime.bigint();
  const clock = { nowNs: () => Number(process.hrtime.bigint() - startedNs) };
  const link = new GateBoardLink(
    { name: 'gates', path: portPath, baudRate: 115_200 },
    { clock, onRecord: onRecord ?? ((record) => records.add(record)) },
    { ...LINK_TIMING, ...timing },
  );
  closers.push(() => link.close());
  link.start();
  return { link, records, clock };
}

const changes = (records: readonly PosternRecord[]) => records.flatMap((record) => (record.kind === 'link' ? [record.value.change] : []));
const lines = (records: readonly PosternRecord[]) => records.flatMap((record) => (record.kind === 'line' ? [record.bytes] : []));
const texts = (records: readonly PosternRecord[]) => lines(records).map((bytes) => Buffer.from(bytes).toString('latin1'));

describe('a link to a gate board', () => {
  test('brings every byte value through, both ways, however the bytes were cut', async () => {
    const wire = await openWire();
    const { records } = openLink();
    await records.until((all) => changes(all).includes('opened'));
    const everyByte = Uint8Array.from({ length: 256 }, (_, value) => value).filter((value) => value !== 0x0a);
    const sent = Buffer.concat([everyByte, Buffer.from('\nsecond\n\r\nthird\n')]);
    for (const byte of sent) wire.write(Uint8Array.of(byte));
    await records.until((all) => lines(all).length === 4);
    expect(lines(records.items)[0]).toEqual(everyByte);
    expect(texts(records.items).slice(1)).toEqual(['second', '\r', 'third']);
    const times = records.items.map((record) => record.atNs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(times.every(Number.isSafeInteger)).toBe(true);
  });

  test('asks who is there upon opening, then sends stamps that carry the time of sending', async () => {
    const wire = await openWire();
    const heard = new Arrivals<string>();
    let rest = '';
    wire.onData((bytes) => {
      const parts = (rest + Buffer.from(bytes).toString('latin1')).split('\n');
      rest = parts.pop() ?? '';
      for (const part of parts) heard.add(part);
    });
    const { link, clock, records } = openLink();
    await heard.until((all) => all.length >= 4);
    link.send({ kind: 'ACK', bootId: 7, upToSeq: 9 });
    await heard.until((all) => all.some((line) => line.startsWith('ACK')));
    const frames = heard.items.map((line) => {
      const decoded = decodeHostLine(line);
      if (!decoded.ok) throw new Error(`${line}: ${decoded.fault.code}`);
      return decoded.value;
    });
    expect(frames.map((frame) => frame.seq)).toEqual(frames.map((_, index) => index));
    expect(frames[0]?.kind).toBe('WHO');
    const openedNs = records.items.find((record) => record.kind === 'link' && record.value.change === 'opened')?.atNs ?? Number.NaN;
    const sentNs = frames.flatMap((frame) => (frame.kind === 'PING' ? [Number(BigInt(`0x${frame.token}`))] : []));
    expect(sentNs.length).toBeGreaterThanOrEqual(3);
    expect(sentNs).toEqual([...sentNs].sort((a, b) => a - b));
    expect(sentNs.every((ns) => ns >= openedNs && ns <= clock.nowNs())).toBe(true);
    expect(frames.at(-1)?.kind === 'ACK' || frames.some((frame) => frame.kind === 'ACK')).toBe(true);
  });

  test('says when the cable is pulled, keeps the torn line, opens again, and sends nothing old', async () => {
    const wire = await openWire();
    const heard = new Arrivals<string>();
    wire.onData((bytes) => heard.add(Buffer.from(bytes).toString('latin1')));
    const { link, records } = openLink();
    await records.until((all) => changes(all).includes('opened'));
    for (let round = 1; round <= 3; round += 1) {
      wire.write(Buffer.from(`whole ${round}\ntorn ${round}`));
      await records.until((all) => texts(all).includes(`whole ${round}`));
      // What is on its way when the cable is pulled is lost: let the question of this round arrive first.
      await heard.until((all) => all.join('').split('WHO').length === round + 1);
      await wire.unplug();
      await records.until((all) => changes(all).filter((change) => change === 'lost').length === round);
      link.send({ kind: 'ACK', bootId: 0xdead, upToSeq: round });
      wire.write(Buffer.from('said to nobody\n'));
      await wire.replug();
      await records.until((all) => changes(all).filter((change) => change === 'opened').length === round + 1);
    }
    wire.write(Buffer.from('after\n'));
    await records.until((all) => texts(all).includes('after'));
    await heard.until((all) => all.join('').split('WHO').length === 5);
    await link.close();
    const upAndDown = ['opened', 'running', 'lost'];
    expect(changes(records.items)).toEqual(['opening', ...upAndDown, ...upAndDown, ...upAndDown, 'opened', 'running', 'closed']);
    expect(texts(records.items)).toEqual(['whole 1', 'torn 1', 'whole 2', 'torn 2', 'whole 3', 'torn 3', 'after']);
    const torn = records.items.findIndex((record) => record.kind === 'line' && Buffer.from(record.bytes).toString() === 'torn 1');
    expect(records.items[torn + 1]).toMatchObject({ kind: 'link', value: { change: 'lost' } });
    expect(heard.items.join('')).not.toContain('0000DEAD');
  });

  test('sees a cable that is pulled at the very moment of opening, even when it is back at once', async () => {
    const wire = await openWire();
    const { records } = openLink({ silenceMs: 1e9, retryMs: [10, 10] });
    for (let round = 1; round <= 6; round += 1) {
      await records.until((all) => changes(all).filter((change) => change === 'opened').length === round);
      await wire.unplug();
      if (round % 2 === 0) await records.until((all) => changes(all).filter((change) => change === 'lost').length === round);
      await wire.replug();
    }
    await records.until((all) => changes(all).filter((change) => change === 'opened').length === 7);
    wire.write(Buffer.from('after\n'));
    await records.until((all) => texts(all).includes('after'));
  });

  test('waits for a port that is not there, says so once, and opens it when it comes', async () => {
    const { records } = openLink({ retryMs: [20, 20] });
    await records.until((all) => all.length >= 2);
    expect(records.items).toMatchObject([
      { kind: 'link', source: 'gates', value: { change: 'opening', path: portPath, detail: 'First try.' } },
      {
        kind: 'link',
        source: 'gates',
        value: {
          change: 'searching',
          path: portPath,
          detail: `Nothing is at ${portPath}; plug it in, or correct its path in the rig file.`,
        },
      },
    ]);
    const again = new Arrivals<PosternRecord>();
    const other = openLink({ retryMs: [20, 20] }, (record) => again.add(record));
    await again.until((all) => all.length >= 2);
    await other.link.close();
    await openWire();
    await records.until((all) => changes(all).includes('opened'));
    expect(changes(records.items)).toEqual(['opening', 'searching', 'opened']);
  });

  test('says that another program has the port', async () => {
    await openWire();
    const first = openLink();
    await first.records.until((all) => changes(all).includes('opened'));
    const second = openLink({ retryMs: [20, 20] });
    await second.records.until((all) => all.length >= 2);
    expect(second.records.items[1]).toMatchObject({
      value: { change: 'opening', detail: `${portPath} cannot be opened: another program has it open.` },
    });
    await first.link.close();
    await second.records.until((all) => changes(all).includes('opened'));
  });

  test('says once that a port is silent, and opens it again ever more slowly until a byte comes', async () => {
    const wire = await openWire();
    let asked = 0;
    const askedAgain = new Promise<void>((resolve) => {
      let heard = '';
      wire.onData((bytes) => {
        heard += Buffer.from(bytes).toString('latin1');
        asked = heard.split('WHO').length - 1;
        if (asked === 4) resolve();
      });
    });
    const { records } = openLink({ silenceMs: 60, lookMs: 20, retryMs: [10, 40] });
    await askedAgain;
    expect(changes(records.items)).toEqual(['opening', 'opened', 'silent']);
    expect(records.items.at(-1)).toMatchObject({
      value: { detail: 'Nothing heard for 0.06 s; the port is opened anew until something comes.' },
    });
    const talk = setInterval(() => wire.write(Buffer.from('here\n')), 5);
    closers.push(async () => clearInterval(talk));
    await records.until((all) => lines(all).length >= 50);
    expect(changes(records.items.slice(-50))).toEqual([]);
  });

  test('survives 10 MB without a line feed and a binary blob, in bounded memory, and loses no byte', async () => {
    const wire = await openWire();
    let longest = 0;
    let bytesIn = 0;
    let digest = 0;
    let last = '';
    const opened = new Arrivals<string>();
    const { link } = openLink({}, (record) => {
      if (record.kind === 'link') opened.add(record.value.change);
      if (record.kind !== 'line') return;
      last = Buffer.from(record.bytes).toString('latin1');
      const isContinued = bytesIn > 0 && last !== 'still here';
      if (isContinued) expect(record.bytes[0]).toBe(CONTINUED);
      const bytes = isContinued ? record.bytes.subarray(1) : record.bytes;
      longest = Math.max(longest, bytes.length);
      bytesIn += bytes.length;
      for (const byte of bytes) digest = (Math.imul(digest, 31) + byte) | 0;
      if (last === 'still here') opened.add(last);
    });
    await opened.until((all) => all.includes('opened'));
    const rssBefore = process.memoryUsage().rss;
    const block = new Uint8Array(64 * 1024);
    let expectedDigest = 0;
    let expectedBytes = 0;
    let noise = 1;
    for (let i = 0; i < 160; i += 1) {
      for (let j = 0; j < block.length; j += 1) {
        noise = (Math.imul(noise, 1_103_515_245) + 12_345) >>> 0;
        const byte = noise >>> 24;
        block[j] = byte === 0x0a ? 0 : byte;
        expectedDigest = (Math.imul(expectedDigest, 31) + (block[j] ?? 0)) | 0;
      }
      expectedBytes += block.length;
      wire.write(block);
      // The wire's own queue is bounded too; go on when this block has come through.
      while (bytesIn < expectedBytes - PIECE_BYTES_MAX) await new Promise((resolve) => setImmediate(resolve));
    }
    wire.write(Buffer.from('\nstill here\n'));
    await opened.until((all) => all.includes('still here'));
    expect(wire.droppedBytes).toBe(0);
    expect(longest).toBe(PIECE_BYTES_MAX);
    for (const byte of Buffer.from('still here')) expectedDigest = (Math.imul(expectedDigest, 31) + byte) | 0;
    expect(bytesIn).toBe(expectedBytes + 'still here'.length);
    expect(digest).toBe(expectedDigest);
    // The bytes alone are 10 MB; what the process took on for them is generously less than if copies piled up.
    expect(process.memoryUsage().rss - rssBefore).toBeLessThan(150 * 1024 * 1024);
    await link.close();
  });

  test('can be closed at any moment, twice, and before it was started', async () => {
    const never = new GateBoardLink({ name: 'x', path: portPath, baudRate: 9600 }, { clock: { nowNs: () => 0 }, onRecord: () => {} });
    await never.close();
    never.start();
    const wire = await openWire();
    const { link, records } = openLink();
    await link.close();
    await link.close();
    expect(changes(records.items).at(-1)).toBe('closed');
    const count = records.items.length;
    wire.write(Buffer.from('to nobody\n'));
    const next = openLink();
    await next.records.until((all) => changes(all).includes('opened'));
    expect(records.items.length).toBe(count);
    const losing = wire.unplug();
    await next.link.close();
    await losing;
    expect(changes(next.records.items).at(-1)).toBe('closed');
  });
});
