/** Sound bytes or text, changed here and there: what random bytes alone would never get past the first check. */
import fc from 'fast-check';

export type Edit =
  | { readonly op: 'put'; readonly at: number; readonly bytes: string }
  | { readonly op: 'cut'; readonly at: number; readonly length: number }
  | { readonly op: 'copy'; readonly from: number; readonly length: number; readonly at: number }
  | { readonly op: 'flip'; readonly at: number; readonly bit: number };

/** Places are told as parts of 65 536 of the whole, so that an edit fits whatever it is applied to. */
const place = fc.nat(65_535);
const length = fc.oneof(fc.nat(8), fc.nat(64), fc.nat(4_096));
const bytes = (pieces: readonly string[]): fc.Arbitrary<string> =>
  fc.oneof(
    fc.uint8Array({ maxLength: 40 }).map((raw) => Buffer.from(raw).toString('latin1')),
    fc.constantFrom(...pieces),
  );

/** @param pieces  put in besides random bytes: words that mean something there */
export const editsArbitrary = (pieces: readonly string[], editsMax = 6): fc.Arbitrary<readonly Edit[]> =>
  fc.array(
    fc.oneof(
      fc.record({ op: fc.constant('put' as const), at: place, bytes: bytes(pieces) }),
      fc.record({ op: fc.constant('cut' as const), at: place, length }),
      fc.record({ op: fc.constant('copy' as const), from: place, length, at: place }),
      fc.record({ op: fc.constant('flip' as const), at: place, bit: fc.nat(7) }),
    ),
    { maxLength: editsMax },
  );

export function edited(sound: Buffer, edits: readonly Edit[]): Buffer {
  return edits.reduce((before, edit) => apply(before, edit), sound);
}

function apply(before: Buffer, edit: Edit): Buffer {
  const index = (part: number): number => Math.floor((part / 65_536) * (before.length + 1));
  const at = index(edit.at);
  switch (edit.op) {
    case 'put':
      return Buffer.concat([before.subarray(0, at), Buffer.from(edit.bytes, 'latin1'), before.subarray(at)]);
    case 'cut':
      return Buffer.concat([before.subarray(0, at), before.subarray(at + edit.length)]);
    case 'copy': {
      const from = index(edit.from);
      return Buffer.concat([before.subarray(0, at), before.subarray(from, from + edit.length), before.subarray(at)]);
    }
    case 'flip': {
      const after = Buffer.from(before);
      if (at < after.length) after.writeUInt8(after.readUInt8(at) ^ (1 << edit.bit), at);
      return after;
    }
  }
}
