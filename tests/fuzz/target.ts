/** What is fed with hostile input, and how such input is made. Input is plain JSON, so that it can be kept in a corpus. */
import type fc from 'fast-check';

export interface FuzzTarget {
  readonly name: string;
  readonly inputs: fc.Arbitrary<unknown>;
  /** Rejects or throws where the program did wrong; a refusal of the input is right. */
  readonly feed: (input: never) => Promise<void> | void;
  readonly close?: () => Promise<void> | void;
}

export const bytesOf = (base64: string): Buffer => Buffer.from(base64, 'base64');
export const base64Of = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64');
