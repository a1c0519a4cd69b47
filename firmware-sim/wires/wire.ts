/** The board's end of a line: what the simulated range needs of a pseudo-terminal. Nothing is buffered while unplugged. */
export interface Wire {
  onData(listener: (bytes: Uint8Array) => void): void;
  write(bytes: Uint8Array): void;
  unplug(): Promise<void>;
  replug(): Promise<void>;
  close(): Promise<void>;
}
