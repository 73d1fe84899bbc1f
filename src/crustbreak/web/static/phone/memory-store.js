// What stands in for the store of a phone that refuses to keep anything: it numbers entries and
// forgets them with the page. The seat is kept by the tab, so that a reload still finds it.

const SEATS = "crustbreak seats";

export class MemoryStore {
  #last = 0;

  async add(_seat, entries, floor) {
    return entries.map(() => (this.#last = Math.max(this.#last, floor) + 1));
  }

  async keeps() {
    return false;
  }

  async put(..._entries) {}

  async clear(_key) {}

  async entries(_key) {
    return [];
  }

  async seats() {
    try {
      return JSON.parse(sessionStorage.getItem(SEATS) ?? "[]");
    } catch {
      return [];
    }
  }

  async putSeat(seat) {
    const others = (await this.seats()).filter(({ key }) => key !== seat.key);
    try {
      sessionStorage.setItem(SEATS, JSON.stringify([...others, seat]));
    } catch {
      // Refused as well: the seat lasts as long as the page.
    }
  }
}
