/**
 * Who may look and who may write. Everyone on this computer can reach the port, and any page in its browsers can send
 * requests there; only who was given a token may do what asks for one.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';

/** 256 bits, as 43 characters that need no escape in an address. */
export const newToken = (): string => randomBytes(32).toString('base64url');

/** What a token may be made of; in a file of one's own it has at least 32 of them. */
export const TOKEN_SHAPE = /^[\w-]{32,128}$/;

/**
 * What a page offers as a WebSocket's protocol, since a browser lets it send no header of its own there: the first is
 * what it speaks and what it is answered with, the second carries its token and is never repeated.
 */
export const LIVE_PROTOCOL = 'postern.live.1';
const TOKEN_PROTOCOL = 'postern.token.';

/** @param shown  undefined where none was shown */
export function isToken(shown: string | undefined, token: string | undefined): boolean {
  // Digests are of one length, and comparing them takes one time, whatever was shown.
  return shown !== undefined && token !== undefined && timingSafeEqual(digest(shown), digest(token));
}

/** Of `Authorization: Bearer TOKEN`. */
export const bearerOf = ({ authorization }: IncomingHttpHeaders): string | undefined =>
  /^Bearer ([\w-]{1,128})$/i.exec(authorization ?? '')?.[1];

/** Of a WebSocket's request: a program sends the header, a page the protocol. */
export function liveTokenOf(headers: IncomingHttpHeaders): string | undefined {
  const offered = (headers['sec-websocket-protocol'] ?? '').split(',').map((protocol) => protocol.trim());
  return bearerOf(headers) ?? offered.find((protocol) => protocol.startsWith(TOKEN_PROTOCOL))?.slice(TOKEN_PROTOCOL.length);
}

const digest = (text: string): Buffer => createHash('sha256').update(text, 'utf8').digest();
