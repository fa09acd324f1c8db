//! Values on their way to JavaScript: each field by one small function, for there are many, and everything else in one copy.

use js_sys::{Array, JsString, Object};
use serde::Serialize;
use serde::ser;
use std::cell::RefCell;
use std::fmt::Error;
use wasm_bindgen::prelude::*;

/// The value as JavaScript has it: objects, arrays, strings, numbers, booleans, null.
pub fn object<T: Serialize>(value: &T) -> Result<JsValue, JsError> {
    let mut out = Crossing { open: Vec::new(), whole: JsValue::NULL, key_follows: false };
    value.serialize(&mut out).map_err(|_| JsError::new("a value that JavaScript has no number or name for"))?;
    Ok(out.whole)
}

#[wasm_bindgen]
extern "C" {
    /// An object whose fields are set.
    type Fields;

    #[wasm_bindgen(method, indexing_setter)]
    fn set(this: &Fields, key: &JsString, value: &JsValue);
}

/// A value that is being made.
struct Crossing {
    /// The objects and arrays that are not whole yet, the outermost first.
    open: Vec<Open>,
    /// The outermost one, once it is whole.
    whole: JsValue,
    /// Whether what comes next is the key of a map.
    key_follows: bool,
}

enum Open {
    /// With the key under which the next value belongs.
    Object(Fields, JsString),
    Array(Array),
}

/// How many names of fields are remembered at once.
const NAMES: usize = 256;

thread_local! {
    /// Names of fields as JavaScript has them, by where they stand: each crosses once.
    static KNOWN: RefCell<Vec<Option<(&'static str, JsString)>>> = const { RefCell::new(Vec::new()) };
}

/// The name of a field as JavaScript has it.
fn known(name: &'static str) -> JsString {
    KNOWN.with_borrow_mut(|known| {
        known.resize(NAMES, None);
        let at = name.as_ptr() as usize;
        let place = &mut known[(at ^ at >> 8) % NAMES];
        match place {
            Some((there, text)) if std::ptr::eq(*there, name) => text.clone(),
            _ => place.insert((name, JsString::from(name))).1.clone(),
        }
    })
}

impl Crossing {
    #[inline(never)]
    fn put(&mut self, value: JsValue) -> Result<(), Error> {
        let key_follows = std::mem::take(&mut self.key_follows);
        match self.open.last_mut() {
            None => self.whole = value,
            Some(Open::Object(_, key)) if key_follows => *key = value.dyn_into().map_err(|_| Error)?,
            Some(Open::Object(fields, key)) => fields.set(key, &value),
            Some(Open::Array(items)) => {
                items.push(&value);
            }
        }
        Ok(())
    }

    #[inline(never)]
    fn name(&mut self, name: &'static str) {
        if let Some(Open::Object(_, key)) = self.open.last_mut() {
            *key = known(name);
        }
    }

    #[inline(never)]
    fn number(&mut self, number: f64) -> Result<(), Error> {
        self.put(JsValue::from_f64(number))
    }

    /// Beyond this JavaScript's numbers leave out whole ones.
    fn whole_number(&mut self, number: Option<i64>) -> Result<(), Error> {
        let number = number.filter(|n| n.unsigned_abs() < 1 << 53).ok_or(Error)?;
        self.number(number as f64)
    }

    #[inline(never)]
    fn begin_object(&mut self) -> &mut Crossing {
        self.open.push(Open::Object(Object::new().unchecked_into(), JsString::from("")));
        self
    }

    #[inline(never)]
    fn begin_array(&mut self) -> &mut Crossing {
        self.open.push(Open::Array(Array::new()));
        self
    }

    #[inline(never)]
    fn close(&mut self) -> Result<(), Error> {
        match self.open.pop() {
            Some(Open::Object(fields, _)) => self.put(fields.into()),
            Some(Open::Array(items)) => self.put(items.into()),
            None => Err(Error),
        }
    }

    /// An object with one field, the name of the variant.
    fn begin_variant(&mut self, variant: &'static str) -> &mut Crossing {
        self.begin_object().name(variant);
        self
    }
}

/// A list or an object in an object that says which variant it is.
struct Variant<'a>(&'a mut Crossing);

impl Variant<'_> {
    fn close(self) -> Result<(), Error> {
        self.0.close()?;
        self.0.close()
    }
}

impl<'a> ser::Serializer for &'a mut Crossing {
    type Ok = ();
    type Error = Error;
    type SerializeSeq = &'a mut Crossing;
    type SerializeTuple = &'a mut Crossing;
    type SerializeTupleStruct = &'a mut Crossing;
    type SerializeTupleVariant = Variant<'a>;
    type SerializeMap = &'a mut Crossing;
    type SerializeStruct = &'a mut Crossing;
    type SerializeStructVariant = Variant<'a>;

    fn serialize_bool(self, v: bool) -> Result<(), Error> {
        self.put(JsValue::from_bool(v))
    }

    fn serialize_i8(self, v: i8) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_i16(self, v: i16) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_i32(self, v: i32) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_i64(self, v: i64) -> Result<(), Error> {
        self.whole_number(Some(v))
    }

    fn serialize_u8(self, v: u8) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_u16(self, v: u16) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_u32(self, v: u32) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_u64(self, v: u64) -> Result<(), Error> {
        self.whole_number(v.try_into().ok())
    }

    fn serialize_f32(self, v: f32) -> Result<(), Error> {
        self.number(v.into())
    }

    fn serialize_f64(self, v: f64) -> Result<(), Error> {
        self.number(v)
    }

    fn serialize_char(self, v: char) -> Result<(), Error> {
        self.serialize_str(v.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(self, v: &str) -> Result<(), Error> {
        self.put(JsValue::from_str(v))
    }

    fn serialize_bytes(self, v: &[u8]) -> Result<(), Error> {
        v.serialize(self)
    }

    fn serialize_none(self) -> Result<(), Error> {
        self.put(JsValue::NULL)
    }

    fn serialize_some<T: ?Sized + Serialize>(self, value: &T) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Error> {
        self.put(JsValue::NULL)
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), Error> {
        self.put(JsValue::NULL)
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Result<(), Error> {
        self.put(known(variant).into())
    }

    fn serialize_newtype_struct<T: ?Sized + Serialize>(self, _: &'static str, value: &T) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: ?Sized + Serialize>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        value.serialize(self.begin_variant(variant))?;
        self.close()
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<&'a mut Crossing, Error> {
        Ok(self.begin_array())
    }

    fn serialize_tuple(self, _: usize) -> Result<&'a mut Crossing, Error> {
        Ok(self.begin_array())
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<&'a mut Crossing, Error> {
        Ok(self.begin_array())
    }

    fn serialize_tuple_variant(self, _: &'static str, _: u32, variant: &'static str, _: usize) -> Result<Variant<'a>, Error> {
        Ok(Variant(self.begin_variant(variant).begin_array()))
    }

    fn serialize_map(self, _: Option<usize>) -> Result<&'a mut Crossing, Error> {
        Ok(self.begin_object())
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<&'a mut Crossing, Error> {
        Ok(self.begin_object())
    }

    fn serialize_struct_variant(self, _: &'static str, _: u32, variant: &'static str, _: usize) -> Result<Variant<'a>, Error> {
        Ok(Variant(self.begin_variant(variant).begin_object()))
    }
}

impl ser::SerializeSeq for &mut Crossing {
    type Ok = ();
    type Error = Error;

    fn serialize_element<T: ?Sized + Serialize>(&mut self, value: &T) -> Result<(), Error> {
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeTuple for &mut Crossing {
    type Ok = ();
    type Error = Error;

    fn serialize_element<T: ?Sized + Serialize>(&mut self, value: &T) -> Result<(), Error> {
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeTupleStruct for &mut Crossing {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: ?Sized + Serialize>(&mut self, value: &T) -> Result<(), Error> {
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeTupleVariant for Variant<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: ?Sized + Serialize>(&mut self, value: &T) -> Result<(), Error> {
        value.serialize(&mut *self.0)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeMap for &mut Crossing {
    type Ok = ();
    type Error = Error;

    fn serialize_key<T: ?Sized + Serialize>(&mut self, key: &T) -> Result<(), Error> {
        self.key_follows = true;
        key.serialize(&mut **self)
    }

    fn serialize_value<T: ?Sized + Serialize>(&mut self, value: &T) -> Result<(), Error> {
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeStruct for &mut Crossing {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: ?Sized + Serialize>(&mut self, name: &'static str, value: &T) -> Result<(), Error> {
        self.name(name);
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl ser::SerializeStructVariant for Variant<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: ?Sized + Serialize>(&mut self, name: &'static str, value: &T) -> Result<(), Error> {
        self.0.name(name);
        value.serialize(&mut *self.0)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}
