/** The board's two-wire bus, and what hangs on it. */
export interface I2cDevice {
  /** 7 bit. */
  readonly address: number;
  isPresent(timeS: number): boolean;
  write(bytes: Uint8Array, timeS: number): void;
  /** @param count  bytes from where the last write or read left the pointer */
  read(count: number, timeS: number): Uint8Array;
}

export interface I2cBus {
  /** To a device that is not there: into the void. */
  write(address: number, bytes: Uint8Array, timeS: number): void;
  /** @returns no bytes where no device answers */
  read(address: number, count: number, timeS: number): Uint8Array;
}

export function createI2cBus(devices: readonly I2cDevice[]): I2cBus {
  const find = (address: number, timeS: number): I2cDevice | undefined =>
    devices.find((device) => device.address === address && device.isPresent(timeS));
  return {
    write: (address, bytes, timeS) => find(address, timeS)?.write(bytes, timeS),
    read: (address, count, timeS) => find(address, timeS)?.read(count, timeS) ?? new Uint8Array(0),
  };
}
