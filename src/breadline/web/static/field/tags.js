/* Which hive a tag is: its own in the list, or the one it wears in a check group that runs in the yard. */
const plain = (tag) => tag.toLowerCase().trim().replace(/\s+/g, " ");

/* The hive of the list that a tag means; its own tags come before those of a check group. */
export function hiveOf(yard, tag) {
  const named = (name) => {
    const all = yard.hives.filter((one) => plain(one.tag) === plain(name));
    return all.find((one) => one.standing === "stands") || all[0];
  };
  const own = named(tag), worn = (yard.worn || []).find(([name]) => plain(name) === plain(tag));
  return own || (worn && named(worn[1]));
}
/* Every tag that somebody may read off a lid in this yard. */
export const tagsOf = (yard) => [...yard.hives.map((one) => one.tag), ...(yard.worn || []).map(([name]) => name)];
