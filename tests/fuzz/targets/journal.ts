/** The journal reader, and the pipeline behind it: damaged files, and files of sound checksums that hold what they like. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { FIRST_BYTES } from '../../../host/journal/container.ts';
import { crc32 } from '../../../host/journal/crc32.ts';
import { readJournal } from '../../../host/journal/index.ts';
import { KIND_CODES, MESSAGE } from '../../../host/journal/layout.ts';
import { encodeMessageRecord, type MessagePlace } from '../../../host/journal/message.ts';
import type { RecordKind } from '../../../protocol/index.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import { fold, HERON, INSTRUMENTS, opening } from '../folding.ts';
import type { FuzzTarget } from '../target.ts';

interface Input {
  readonly rig: 'heron' | 'instruments';
  readonly records: readonly { readonly kind: RecordKind; readonly source: string; readonly atNs: number; readonly value: unknown }[];
  readonly edits: readonly Edit[];
}

const source = fc.constantFrom('host', 'operator', 'gate-board', 'fill-gauge', 'weather', 'gauge', 'wind', '', '__proto__', 'constructor');
const word = fc.oneof(
  fc.constantFrom(
    'barrelPressure',
    'reservoirPressure',
    'airTemperature',
    'temperature',
    'pressure',
    'humidity',
    'A0',
    '__proto__',
    'toString',
    'bore',
    'cs-fuzz-1',
    '',
  ),
  fc.string({ unit: 'binary', maxLength: 30 }),
);
const number = fc.oneof(
  fc.double(),
  fc.double({ min: -1e4, max: 1e6 }),
  fc.constantFrom(0, -0, 1, 1e300, Number.MAX_SAFE_INTEGER, Number.MIN_VALUE),
);
const atNs = fc.oneof(
  fc.nat(1e9),
  fc.nat(1000).map((s) => s * 1e8),
  fc.constantFrom(0, 1, 1e13, 1e15, Number.MAX_SAFE_INTEGER),
);
const adjustment = fc.record({ gain: number, offsetSi: number });
const at = fc.record({ rightM: number, upM: number });
const place = { xPx: number, yPx: number };
const cameraTrack = fc.record({
  marks: fc.array(fc.record({ name: fc.oneof(fc.constantFrom('M1', 'M2', 'M3'), word), ...place }), { maxLength: 4 }),
  frames: fc.array(fc.record({ frame: fc.oneof(fc.nat(900), number), ...place }), { maxLength: 6 }),
});
const change = { channel: word, before: adjustment, after: adjustment, who: word };
const point = fc.record({ readSi: number, shouldReadSi: number });
const value = fc.oneof(
  fc.dictionary(word, number, { maxKeys: 6 }),
  fc.record({ utcUs: fc.oneof(fc.maxSafeInteger(), fc.constantFrom(1_773_480_600_000_000, 0)) }),
  fc.record({ change: fc.constantFrom('opened', 'running', 'lost', 'closed', 'searching'), path: word, detail: word }),
  fc.record({ act: fc.constant('note'), text: word, shotId: word, who: word }),
  fc.record({ act: fc.constant('acknowledge'), limitId: word, who: word }),
  fc.record({ act: fc.constant('hold-point'), holdPointId: word, done: fc.boolean(), who: word }),
  fc.record({ act: fc.constant('zero'), shouldReadSi: number, ...change }),
  fc.record({ act: fc.constant('calibrate'), points: fc.tuple(point, point), ...change }),
  fc.record({ act: fc.constant('aim'), at, who: word }),
  fc.record({ act: fc.constant('impact'), shotId: word, at, who: word }),
  fc.record({
    act: fc.constant('weigh'),
    shotId: word,
    mass: fc.option(fc.record({ valueKg: fc.double(), standardUncertaintyKg: fc.double() }), { nil: undefined }),
    reason: word,
    who: word,
  }),
  fc.record({ act: fc.constant('exclude'), shotId: word, excluded: fc.boolean(), reason: word, who: word }),
  fc.record({ act: fc.constant('clip'), shotId: word, camera: word, clip: word, who: word }),
  fc.record({
    act: fc.constant('withdraw-track'),
    shotId: word,
    camera: fc.oneof(fc.constant('side'), word),
    withdrawn: fc.boolean(),
    reason: word,
    who: word,
  }),
  fc.record({
    act: fc.constant('camera-track'),
    shotId: word,
    camera: fc.oneof(fc.constant('side'), word),
    clip: word,
    track: cameraTrack,
    who: word,
  }),
  fc.record({
    sessionId: word,
    softwareVersion: word,
    protocolVersion: number,
    fileName: word,
    text: fc.constantFrom(HERON, INSTRUMENTS, '', 'rig: 1'),
  }),
  fc.jsonValue({ maxDepth: 3 }),
);

const inputs = fc.record<Input>({
  rig: fc.constantFrom('heron', 'instruments'),
  records: fc.array(fc.record({ kind: fc.constantFrom('reading', 'link', 'operator', 'rig', 'clock', 'line'), source, atNs, value }), {
    maxLength: 25,
  }) as fc.Arbitrary<Input['records']>,
  edits: fc.oneof(
    { weight: 2, arbitrary: fc.constant([]) },
    editsArbitrary(['\x05', '\x04', '\x0c', '\x0f', '\x89MCAP0\r\n', '\xff\xff\xff\xff\xff\xff\xff\x7f']),
  ),
});

function bytesOfJournal({ rig, records, edits }: Input): Buffer {
  const begun = opening(rig === 'heron' ? HERON : INSTRUMENTS).map((record, i) => encodeMessageRecord(record, placeOf(i)));
  const told = records.map((record, i) => sealedAs(record, placeOf(begun.length + i)));
  return edited(Buffer.concat([FIRST_BYTES, ...begun, ...told]), edits);
}

const placeOf = (sequence: number): MessagePlace => ({ channelId: 1, sequence, originUtcNs: 1_773_480_600_000_000_000n });

/** A record with a sound checksum, whatever its kind says that it holds. */
function sealedAs({ kind, source: from, atNs: when, value: holds }: Input['records'][number], place: MessagePlace): Buffer {
  const bytes = encodeMessageRecord({ kind: 'line', source: from, atNs: when, bytes: Buffer.from(JSON.stringify(holds) ?? '') }, place);
  bytes.writeUInt8(KIND_CODES[kind], MESSAGE.kind);
  bytes.writeUInt32LE(crc32(bytes.subarray(MESSAGE.payloadSequence), crc32(bytes.subarray(0, MESSAGE.crc))), MESSAGE.crc);
  return bytes;
}

const folder = mkdtempSync(join(tmpdir(), 'postern-fuzz-'));
const path = join(folder, 'session.mcap');

export const journal: FuzzTarget = {
  name: 'journal',
  inputs,
  feed(input: Input) {
    writeFileSync(path, bytesOfJournal(input));
    fold([...readJournal(path)].flatMap((item) => ('record' in item ? [item.record] : [])));
  },
  close: () => rmSync(folder, { recursive: true, force: true }),
};
