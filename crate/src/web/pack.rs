//! Values on their way to JavaScript: what they are made of as numbers, their words as one text, both handed over at once;
//! `pack.js` makes plain objects of them.
//!
//! A call into JavaScript for every member, as serde-wasm-bindgen has it, took twice as long.

use js_sys::Float64Array;
use serde::ser::{self, Impossible, Serialize, Serializer};
use std::fmt;
use wasm_bindgen::prelude::*;

#[wasm_bindgen(module = "/src/web/pack.js")]
extern "C" {
    fn unpack(parts: Float64Array, words: &str, members: &str) -> JsValue;
}

/// The value as JavaScript has it: objects, arrays, strings, numbers, booleans, null.
pub fn object<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    // Room for a plan's evaluation, so that it need not move.
    let mut pack = Pack { parts: Vec::with_capacity(1 << 13), words: String::with_capacity(1 << 14), ..Pack::default() };
    value.serialize(&mut pack).map_err(|e| JsValue::from_str(&e.0))?;
    Ok(unpack(Float64Array::from(pack.parts.as_slice()), &pack.words, &pack.members.join("\n")))
}

// What a part begins with; `pack.js` knows the same.
const NULL: f64 = 0.0;
const FALSE: f64 = 1.0;
const TRUE: f64 = 2.0;
/// Followed by the number.
const NUMBER: f64 = 3.0;
/// Followed by its length.
const TEXT: f64 = 4.0;
/// The text before once more.
const AGAIN: f64 = 5.0;
/// Followed by the count, then the items.
const LIST: f64 = 6.0;
/// Followed by the count, then a text and a value for each.
const MAP: f64 = 7.0;
/// Followed by the place of its kind among `kinds`, then a value for each member.
const MEMBERS: f64 = 8.0;

#[derive(Default)]
struct Pack {
    parts: Vec<f64>,
    words: String,
    /// Bytes of the text before.
    last: usize,
    /// The kinds of objects so far by the names of their types.
    kinds: Vec<&'static str>,
    /// The names of each kind's members, with a space before each.
    members: Vec<String>,
}

impl Pack {
    fn open(&mut self, kind: f64) -> Inside<'_> {
        self.parts.extend([kind, 0.0]);
        Inside { place: self.parts.len() - 1, count: 0.0, pack: self }
    }
}

/// Within a list or a map, whose count is known once it is closed.
struct Inside<'a> {
    pack: &'a mut Pack,
    place: usize,
    count: f64,
}

impl Inside<'_> {
    fn add<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unknown> {
        self.count += 1.0;
        value.serialize(&mut *self.pack)
    }

    fn close(self) -> Result<(), Unknown> {
        self.pack.parts[self.place] = self.count;
        Ok(())
    }
}

/// Within an object; all of one kind have the same members in the same order.
struct Members<'a> {
    pack: &'a mut Pack,
    /// Its kind, where this is the first of it.
    new: Option<usize>,
}

/// A kind of value that no result is made of.
#[derive(Debug)]
struct Unknown(String);

impl fmt::Display for Unknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Unknown {}

impl ser::Error for Unknown {
    fn custom<T: fmt::Display>(why: T) -> Unknown {
        Unknown(why.to_string())
    }
}

fn unknown<T>(what: &str) -> Result<T, Unknown> {
    Err(Unknown(format!("Nothing here crosses over as {what}.")))
}

impl<'a> Serializer for &'a mut Pack {
    type Ok = ();
    type Error = Unknown;
    type SerializeSeq = Inside<'a>;
    type SerializeTuple = Inside<'a>;
    type SerializeTupleStruct = Impossible<(), Unknown>;
    type SerializeTupleVariant = Impossible<(), Unknown>;
    type SerializeMap = Inside<'a>;
    type SerializeStruct = Members<'a>;
    type SerializeStructVariant = Impossible<(), Unknown>;

    fn serialize_f64(self, v: f64) -> Result<(), Unknown> {
        self.parts.extend([NUMBER, v]);
        Ok(())
    }

    fn serialize_u64(self, v: u64) -> Result<(), Unknown> {
        self.serialize_f64(v as f64)
    }

    fn serialize_u32(self, v: u32) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_u16(self, v: u16) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_u8(self, v: u8) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_i64(self, v: i64) -> Result<(), Unknown> {
        self.serialize_f64(v as f64)
    }

    fn serialize_i32(self, v: i32) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_i16(self, v: i16) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_i8(self, v: i8) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_f32(self, v: f32) -> Result<(), Unknown> {
        self.serialize_f64(v.into())
    }

    fn serialize_bool(self, v: bool) -> Result<(), Unknown> {
        self.parts.push(if v { TRUE } else { FALSE });
        Ok(())
    }

    fn serialize_char(self, v: char) -> Result<(), Unknown> {
        self.serialize_str(v.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(self, v: &str) -> Result<(), Unknown> {
        if v.len() == self.last && self.words.ends_with(v) {
            self.parts.push(AGAIN);
            return Ok(());
        }
        // JavaScript counts a text in units of UTF-16: one for every character, two where UTF-8 has four bytes.
        let length: usize = v.bytes().map(|b| usize::from(b & 0xC0 != 0x80) + usize::from(b >= 0xF0)).sum();
        self.parts.extend([TEXT, length as f64]);
        self.words.push_str(v);
        self.last = v.len();
        Ok(())
    }

    fn serialize_unit(self) -> Result<(), Unknown> {
        self.parts.push(NULL);
        Ok(())
    }

    fn serialize_none(self) -> Result<(), Unknown> {
        self.serialize_unit()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Unknown> {
        value.serialize(self)
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), Unknown> {
        self.serialize_unit()
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Result<(), Unknown> {
        self.serialize_str(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<(), Unknown> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(self, _: &'static str, _: u32, _: &'static str, _: &T) -> Result<(), Unknown> {
        unknown("a variant")
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<(), Unknown> {
        unknown("bytes")
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Inside<'a>, Unknown> {
        Ok(self.open(LIST))
    }

    fn serialize_tuple(self, _: usize) -> Result<Inside<'a>, Unknown> {
        Ok(self.open(LIST))
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self::SerializeTupleStruct, Unknown> {
        unknown("a tuple with a name")
    }

    fn serialize_tuple_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Result<Self::SerializeTupleVariant, Unknown> {
        unknown("a variant")
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Inside<'a>, Unknown> {
        Ok(self.open(MAP))
    }

    fn serialize_struct(self, name: &'static str, _: usize) -> Result<Members<'a>, Unknown> {
        let known = self.kinds.iter().position(|kind| std::ptr::eq(*kind, name));
        let kind = known.unwrap_or_else(|| {
            self.kinds.push(name);
            self.members.push(String::new());
            self.kinds.len() - 1
        });
        self.parts.extend([MEMBERS, kind as f64]);
        Ok(Members { new: known.is_none().then_some(kind), pack: self })
    }

    fn serialize_struct_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Result<Self::SerializeStructVariant, Unknown> {
        unknown("a variant")
    }
}

impl ser::SerializeSeq for Inside<'_> {
    type Ok = ();
    type Error = Unknown;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unknown> {
        self.add(value)
    }

    fn end(self) -> Result<(), Unknown> {
        self.close()
    }
}

impl ser::SerializeTuple for Inside<'_> {
    type Ok = ();
    type Error = Unknown;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unknown> {
        self.add(value)
    }

    fn end(self) -> Result<(), Unknown> {
        self.close()
    }
}

impl ser::SerializeMap for Inside<'_> {
    type Ok = ();
    type Error = Unknown;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Unknown> {
        key.serialize(&mut *self.pack)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unknown> {
        self.add(value)
    }

    fn end(self) -> Result<(), Unknown> {
        self.close()
    }
}

impl ser::SerializeStruct for Members<'_> {
    type Ok = ();
    type Error = Unknown;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), Unknown> {
        if let Some(names) = self.new.and_then(|kind| self.pack.members.get_mut(kind)) {
            names.push(' ');
            names.push_str(key);
        }
        value.serialize(&mut *self.pack)
    }

    fn skip_field(&mut self, _: &'static str) -> Result<(), Unknown> {
        unknown("a member that comes and goes")
    }

    fn end(self) -> Result<(), Unknown> {
        Ok(())
    }
}
