/** An address or a name as it stands on the command line. Nothing is loaded for it but what reads the command line. */
import { isIP } from 'node:net';
import { InvalidArgumentError } from 'commander';

export interface Endpoint {
  readonly host: string;
  /** Left out, that of --port. */
  readonly port?: number;
}

/** @param text  `ADDRESS`, `ADDRESS:PORT`, an IPv6 one with a port in brackets */
export function endpointOf(text: string): Endpoint {
  const [, host = text, port] = /^(\[.*\]|[^:]*)(?::(\d{1,5}))?$/.exec(text) ?? [];
  const plain = host.toLowerCase() === 'localhost' ? '127.0.0.1' : host.replace(/^\[(.*)\]$/, '$1');
  if (isIP(plain) === 0)
    throw new InvalidArgumentError('Give an address of this computer, such as 192.168.4.2, 0.0.0.0:4780 or [::]:4780.');
  if (Number(port ?? 0) > 65_535) throw new InvalidArgumentError('A port is a number up to 65535.');
  return { host: plain, ...(port === undefined ? {} : { port: Number(port) }) };
}

/** @param text  a name in a network, without its port */
export function hostNameArgument(text: string, before: readonly string[] | undefined): readonly string[] {
  if (text.length > 253 || !/^[a-z0-9_]([a-z0-9_-]*[a-z0-9_])?(\.[a-z0-9_]([a-z0-9_-]*[a-z0-9_])?)*$/i.test(text)) {
    throw new InvalidArgumentError('Give the name alone, such as range-host.local, without http:// and without a port.');
  }
  return [...(before ?? []), text.toLowerCase()];
}
