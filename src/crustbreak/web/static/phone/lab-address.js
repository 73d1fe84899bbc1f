// Where the lab may be, as a person types it: scheme and port stay the same as long as a table
// is open.

const NAME = /^(?:[a-z0-9-]+\.)*[a-z0-9-]+$|^\[[0-9a-f:.]+\]$/i;
const NUMBERS = /^[\d.]+$/;
const FOUR = /^(?:(?:25[0-5]|2[0-4]\d|1?\d?\d)(?:\.(?!$)|$)){4}$/;

// "192.168.1.23", with or without scheme, port and path, as an origin; null when it is none.
export function originOf(typed, { protocol, port }) {
  const [host, , given] = split(
    typed
      .trim()
      .replace(/^https?:\/\//i, "")
      .replace(/[/?#].*$/, ""),
  );
  if (!NAME.test(host) || (NUMBERS.test(host) && !FOUR.test(host))) return null;
  const at = given ?? port;
  if (Number(at) > 65535) return null;
  return `${protocol}//${host.toLowerCase()}${at ? `:${at}` : ""}`;
}

function split(address) {
  return /^(.*?)(:(\d{1,5}))?$/.exec(address).slice(1);
}
