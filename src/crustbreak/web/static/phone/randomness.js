// What is left to chance: ids that nobody else makes, and pauses that no two phones share.

// 128 random bits as 32 hex digits; randomUUID is not there on plain http.
export function randomId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// How long to wait before trying again: 1 to 15 seconds, longer the more often it failed, and
// never the same for all phones, which would knock all at once when the Wi-Fi comes back.
export function pauseMs(failures, chance = Math.random) {
  return Math.min(7500, 1000 * 2 ** (failures - 1)) * (1 + chance());
}
