import type { RefObject } from 'preact';
import { useState } from 'preact/hooks';

export interface CopyButtonProps {
  /** What it says, such as `Copy the file`. */
  readonly label: string;
  /** Copied as it stands in the page; without marks that a style adds, such as line numbers. */
  readonly of: RefObject<HTMLElement | null>;
}

/** Copies a text. A browser gives its clipboard only to pages over TLS or on the host itself: elsewhere the text is selected and copied as by hand. */
export function CopyButton({ label, of }: CopyButtonProps) {
  const [said, setSaid] = useState('');
  const copy = async () => {
    const element = of.current;
    if (!element) return;
    const isCopied = (await toClipboard(element.textContent ?? '')) || copySelected(element);
    setSaid(isCopied ? 'Copied.' : 'Selected: copy it with your browser.');
  };
  return (
    <span class="copying">
      <button type="button" onClick={() => void copy()}>
        {label}
      </button>{' '}
      <span role="status">{said}</span>
    </span>
  );
}

async function toClipboard(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}

function copySelected(element: HTMLElement): boolean {
  getSelection()?.selectAllChildren(element);
  return document.execCommand('copy');
}
