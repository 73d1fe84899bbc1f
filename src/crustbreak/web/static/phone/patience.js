// How long to wait before trying again: 1 to 15 seconds, longer the more often it failed, and
// never the same for all phones, which would knock all at once when the Wi-Fi comes back.

export function pauseMs(failures, chance = Math.random) {
  return Math.min(7500, 1000 * 2 ** (failures - 1)) * (1 + chance());
}
