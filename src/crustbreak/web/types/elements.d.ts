// What the page scripts' own elements say to each other, for checking them; no page loads this.

interface HTMLElementEventMap {
  address: CustomEvent<{ origin: string; done: (isThere: boolean) => void }>;
  call: CustomEvent<{ place: string; value: string }>;
  "call-anew": CustomEvent<{ place: string; value: string; reason: string; done: () => void }>;
  "go-place": CustomEvent;
  "go-step": CustomEvent;
  knew: CustomEvent<string>;
  look: CustomEvent<string>;
  mark: CustomEvent<{ cells: object[]; done?: () => void }>;
  say: CustomEvent;
  seated: CustomEvent;
  table: CustomEvent<string>;
  tap: CustomEvent;
  token: CustomEvent<string>;
}

interface HTMLElementTagNameMap {
  "note-lines": HTMLElement & { flush(): void };
  "run-cue": HTMLElement & { reread(): void };
  "table-clock": HTMLElement & { reread(): void };
}

// A note's box knows of which line it is.
interface HTMLTextAreaElement {
  cell?: { place: string; cup: null; line: string; round: string };
}
