/**
 * Who may write. Everyone on this computer can reach the port, and any page in its browsers can send requests there;
 * only who was given the session's token may change anything.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

/** 256 bits, as 43 characters that need no escape in an address. */
export const newToken = (): string => randomBytes(32).toString('base64url');

/** @param authorization  the header: `Bearer TOKEN` */
export function isBearer(authorization: string | undefined, token: string): boolean {
  const shown = /^Bearer ([\w-]{1,128})$/i.exec(authorization ?? '')?.[1];
  // Digests are of one length, and comparing them takes one time, whatever was shown.
  return shown !== undefined && timingSafeEqual(digest(shown), digest(token));
}

const digest = (text: string): Buffer => createHash('sha256').update(text, 'utf8').digest();
