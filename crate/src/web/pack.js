// Makes plain objects of what web_pack.rs packed.

/** The value: `parts` say what is what, `words` are all its texts in a row, `members` the names of each kind's members, a line a kind. */
export function unpack(parts, words, members) {
  const kinds = members.split("\n").map((names) => names.split(" ").slice(1));
  let at = 0;
  let from = 0;
  let last = "";
  const make = () => {
    switch (parts[at++]) {
      case 0: return null;
      case 1: return false;
      case 2: return true;
      case 3: return parts[at++];
      case 4: {
        const to = from + parts[at++];
        last = words.slice(from, to);
        from = to;
        return last;
      }
      case 5: return last;
      case 6: {
        const list = [];
        for (let left = parts[at++]; left > 0; left--) list.push(make());
        return list;
      }
      case 7: {
        const map = {};
        for (let left = parts[at++]; left > 0; left--) {
          const key = make();
          map[key] = make();
        }
        return map;
      }
      default: {
        const object = {};
        for (const name of kinds[parts[at++]]) object[name] = make();
        return object;
      }
    }
  };
  return make();
}
