// <table-clock data-since="125"> counts up from so many seconds. It never counts down.

const two = (number) => String(number).padStart(2, "0");

export function say(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${minutes}:${two(whole % 60)}`;
  return `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(whole % 60)}`;
}

class TableClock extends HTMLElement {
  connectedCallback() {
    this.timer = setInterval(() => this.show(), 250);
    this.reread();
  }

  reread() {
    // The page's own stopwatch, which no change of the laptop's clock can move.
    this.from = performance.now() - Number(this.dataset.since) * 1000;
    this.show();
  }

  disconnectedCallback() {
    clearInterval(this.timer);
  }

  show() {
    const said = say((performance.now() - this.from) / 1000);
    if (this.textContent !== said) this.textContent = said;
  }
}

customElements.define("table-clock", TableClock);
