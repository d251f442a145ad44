/* Keys of records: UUID version 7 (RFC 9562), made on the phone, in the order in which they were made. */
let last = 0, count = 0;

export function newKey(now = Date.now()) {
  const random = crypto.getRandomValues(new Uint8Array(16));
  if (now > last) { last = now; count = (random[6] & 0x07) << 8 | random[7]; } else { count += 1; }
  if (count > 0xfff) { last += 1; count = 0; }
  const bytes = new Uint8Array(16);
  for (let n = 0; n < 6; n += 1) bytes[n] = Math.floor(last / 2 ** (8 * (5 - n))) & 0xff;
  bytes.set(random.subarray(8), 8);
  bytes[6] = 0x70 | count >> 8;
  bytes[7] = count & 0xff;
  bytes[8] = 0x80 | bytes[8] & 0x3f;
  const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
  return [[0, 8], [8, 12], [12, 16], [16, 20], [20]].map(([a, b]) => hex.slice(a, b)).join("-");
}

/* The moment as people in the yard have it, with its offset (RFC 3339). */
export function moment(at = new Date()) {
  const off = -at.getTimezoneOffset(), two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const local = new Date(at.getTime() + off * 60000).toISOString().slice(0, 19);
  return `${local}${off < 0 ? "-" : "+"}${two(off / 60)}:${two(off % 60)}`;
}
