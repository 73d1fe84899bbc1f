// The phone's own store. An entry gets its number in the very transaction that stores it, so
// that two windows never give the same one, and is down only once that transaction is complete.
// A phone may hold several seats, one after the other: each has its key, entries and numbers.

const NAME = "crustbreak";
const PATIENCE_MS = 4000;
const ALL = ["seats", "numbers", "entries"];

export class IndexedDbStore {
  #db;

  static async open() {
    const store = new IndexedDbStore();
    store.#db = await openDatabase();
    return store;
  }

  async seats() {
    return this.#read((tx) => tx.objectStore("seats").getAll());
  }

  async entries(key) {
    return this.#read((tx) => tx.objectStore("entries").index("held").getAll(key));
  }

  async putSeat(seat) {
    await this.#write(["seats"], (tx) => tx.objectStore("seats").put(seat));
  }

  // Whether it gives back what it took.
  async keeps() {
    const said = String(performance.now());
    await this.#write(["numbers"], (tx) => tx.objectStore("numbers").put(said, "trial"));
    const heard = await this.#read((tx) => tx.objectStore("numbers").get("trial"));
    await this.#write(["numbers"], (tx) => tx.objectStore("numbers").delete("trial"));
    return heard === said;
  }

  async put(...entries) {
    await this.#write(["entries"], (tx) => {
      for (const entry of entries) tx.objectStore("entries").put(entry);
    });
  }

  // Store the entries and give their numbers, above all given before and above `floor`.
  async add({ key, grip }, entries, floor) {
    const within = `${key}/${grip}`;
    const numbers = [];
    await this.#write(["entries", "numbers"], (tx) => {
      const last = tx.objectStore("numbers").get(within);
      last.onsuccess = () => {
        const first = Math.max(last.result ?? 0, floor) + 1;
        entries.forEach((entry, index) => {
          numbers[index] = first + index;
          tx.objectStore("entries").add({ ...entry, no: first + index });
        });
        tx.objectStore("numbers").put(first + entries.length - 1, within);
      };
    });
    return numbers;
  }

  // Take a seat off the phone, with all that was said from it.
  async clear(key) {
    await this.#write(ALL, (tx) => {
      tx.objectStore("seats").delete(key);
      tx.objectStore("numbers").delete(IDBKeyRange.bound(`${key}/`, `${key}/\uffff`));
      tx.objectStore("entries").index("held").openCursor(key).onsuccess = ({ target }) => {
        target.result?.delete();
        target.result?.continue();
      };
    });
  }

  async #read(act) {
    return this.#again(async () => {
      const request = act(this.#db.transaction(ALL, "readonly"));
      await new Promise((resolve, reject) => {
        request.onsuccess = resolve;
        request.onerror = () => reject(request.error);
      });
      return request.result;
    });
  }

  async #write(stores, act) {
    return this.#again(
      () =>
        new Promise((resolve, reject) => {
          const tx = this.#db.transaction(stores, "readwrite", { durability: "strict" });
          tx.oncomplete = resolve;
          tx.onabort = () => reject(tx.error ?? new Error("the phone did not store it"));
          act(tx);
        }),
    );
  }

  // A phone that slept may have closed the database under the page: open it once more.
  async #again(act) {
    try {
      return await act();
    } catch (error) {
      if (error?.name !== "InvalidStateError" && error?.name !== "UnknownError") throw error;
      this.#db = await openDatabase();
      return act();
    }
  }
}

function openDatabase() {
  return new Promise((resolve, reject) => {
    // No release has written the shape before this one: nothing of a taster's is in it.
    const request = indexedDB.open(NAME, 2);
    const silent = new Error("the phone's store does not answer");
    const timer = setTimeout(() => reject(silent), PATIENCE_MS);
    request.onupgradeneeded = () => {
      const db = request.result;
      for (const name of [...db.objectStoreNames]) db.deleteObjectStore(name);
      db.createObjectStore("seats", { keyPath: "key" });
      db.createObjectStore("numbers");
      db.createObjectStore("entries", { keyPath: "id" }).createIndex("held", "held");
    };
    request.onsuccess = () => {
      clearTimeout(timer);
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
  });
}
