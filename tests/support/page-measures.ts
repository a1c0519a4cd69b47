/** What can be measured of a page in the browser: sizes of targets, contrast of words, and where the keyboard gets to. */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';

const SOURCE = readFileSync(new URL('./page-measures.browser.js', import.meta.url), 'utf8');
/** Of what a finger has to hit, in CSS px. */
export const TARGET_PX_MIN = 44;
/** More stops than any page has. */
const STEPS_MAX = 400;

async function ask<T>(page: Page, question: string): Promise<T> {
  await page.evaluate(`globalThis.measures ?? (() => { ${SOURCE} })()`);
  return await page.evaluate<T>(`measures.${question}`);
}

/** Everything that can be pressed and is too small, with its size. */
export const smallTargets = (page: Page, leastPx = TARGET_PX_MIN): Promise<readonly string[]> => ask(page, `smallTargets(${leastPx})`);

/** Text of these that is wider than the block that it stands in, with both edges. */
export const spilled = (page: Page, selectors: readonly string[]): Promise<readonly string[]> =>
  ask(page, `spilled(${JSON.stringify(selectors.join(', '))})`);

export interface Contrast {
  /** Elements below the ratio, with theirs. */
  readonly below: readonly string[];
  readonly measured: number;
}

/**
 * Contrast of the text in each matching element against what is painted behind it.
 * Source: W3C, WCAG 2.2, "contrast ratio" and "relative luminance"
 */
export const contrastBelow = (page: Page, selectors: readonly string[], ratio: number): Promise<Contrast> =>
  ask(page, `contrastBelow(${JSON.stringify(selectors)}, ${ratio})`);

export interface Walk {
  /** Controls that are there and were never reached. */
  readonly missed: readonly string[];
  /** Reached, and not shown to be. */
  readonly unseen: readonly string[];
  readonly steps: number;
}

/** Goes through a page by Tab alone, from its start until it comes round. */
export async function walkByKeyboard(page: Page): Promise<Walk> {
  await ask(page, 'beginWalk()');
  let steps = 0;
  do {
    await page.keyboard.press('Tab');
    steps += 1;
  } while (steps < STEPS_MAX && (await page.evaluate<boolean>('measures.walked()')));
  return { ...(await ask<Omit<Walk, 'steps'>>(page, 'endWalk()')), steps };
}
