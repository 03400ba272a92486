//! Messages as bytes, in postcard's wire format.
//!
//! Why not postcard's own writer: for variable-length integers it checks bounds that can't be broken, and a check that
//! can't fail still leaves a panic in the image, where none may be. Reading leaves none, so reading is postcard's. A test
//! holds the two against each other.
//! What it does not do: maps, characters and floating point, which no message has.

use serde::Deserialize;
use serde::ser::{self, Serialize};

/// Writes a message; the number of its bytes, or `None` where they don't fit.
pub fn write(message: &impl Serialize, into: &mut [u8]) -> Option<usize> {
    let mut writer = Writer { bytes: into, used: 0 };
    message.serialize(&mut writer).ok()?;
    Some(writer.used)
}

/// Reads a message; `None` when the bytes are not it and nothing more.
pub fn whole<'a, T: Deserialize<'a>>(bytes: &'a [u8]) -> Option<T> {
    match postcard::take_from_bytes(bytes) {
        Ok((message, [])) => Some(message),
        Ok(_) | Err(_) => None,
    }
}

struct Writer<'a> {
    bytes: &'a mut [u8],
    used: usize,
}

/// It does not fit, or is nothing that messages are made of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct NoRoom;

impl core::fmt::Display for NoRoom {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str("no room")
    }
}

impl core::error::Error for NoRoom {}

impl ser::Error for NoRoom {
    fn custom<T: core::fmt::Display>(_: T) -> Self {
        Self
    }
}

impl Writer<'_> {
    fn byte(&mut self, byte: u8) -> Result<(), NoRoom> {
        *self.bytes.get_mut(self.used).ok_or(NoRoom)? = byte;
        self.used += 1;
        Ok(())
    }

    /// Seven bits a byte, low ones first; the top bit says that more follow.
    fn number(&mut self, mut value: u64) -> Result<(), NoRoom> {
        while value >= 0x80 {
            self.byte(value as u8 | 0x80)?;
            value >>= 7;
        }
        self.byte(value as u8)
    }

    /// 0, -1, 1, -2 ... as 0, 1, 2, 3 ...
    fn signed(&mut self, value: i64) -> Result<(), NoRoom> {
        self.number((value << 1 ^ value >> 63) as u64)
    }

    fn length(&mut self, length: usize) -> Result<(), NoRoom> {
        self.number(length as u64)
    }

    fn all(&mut self, bytes: &[u8]) -> Result<(), NoRoom> {
        let end = self.used.checked_add(bytes.len()).ok_or(NoRoom)?;
        let place = self.bytes.get_mut(self.used..end).ok_or(NoRoom)?;
        for (to, from) in place.iter_mut().zip(bytes) {
            *to = *from;
        }
        self.used = end;
        Ok(())
    }
}

impl<'a, 'b> ser::Serializer for &'a mut Writer<'b> {
    type Ok = ();
    type Error = NoRoom;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = ser::Impossible<(), NoRoom>;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    fn is_human_readable(&self) -> bool {
        false
    }

    fn serialize_bool(self, value: bool) -> Result<(), NoRoom> {
        self.byte(u8::from(value))
    }

    fn serialize_i8(self, value: i8) -> Result<(), NoRoom> {
        self.byte(value as u8)
    }

    fn serialize_i16(self, value: i16) -> Result<(), NoRoom> {
        self.signed(i64::from(value))
    }

    fn serialize_i32(self, value: i32) -> Result<(), NoRoom> {
        self.signed(i64::from(value))
    }

    fn serialize_i64(self, value: i64) -> Result<(), NoRoom> {
        self.signed(value)
    }

    fn serialize_u8(self, value: u8) -> Result<(), NoRoom> {
        self.byte(value)
    }

    fn serialize_u16(self, value: u16) -> Result<(), NoRoom> {
        self.number(u64::from(value))
    }

    fn serialize_u32(self, value: u32) -> Result<(), NoRoom> {
        self.number(u64::from(value))
    }

    fn serialize_u64(self, value: u64) -> Result<(), NoRoom> {
        self.number(value)
    }

    fn serialize_f32(self, _: f32) -> Result<(), NoRoom> {
        Err(NoRoom)
    }

    fn serialize_f64(self, _: f64) -> Result<(), NoRoom> {
        Err(NoRoom)
    }

    fn serialize_char(self, _: char) -> Result<(), NoRoom> {
        Err(NoRoom)
    }

    fn serialize_str(self, text: &str) -> Result<(), NoRoom> {
        self.serialize_bytes(text.as_bytes())
    }

    fn serialize_bytes(self, bytes: &[u8]) -> Result<(), NoRoom> {
        self.length(bytes.len())?;
        self.all(bytes)
    }

    fn serialize_none(self) -> Result<(), NoRoom> {
        self.byte(0)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), NoRoom> {
        self.byte(1)?;
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), NoRoom> {
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), NoRoom> {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, place: u32, _: &'static str) -> Result<(), NoRoom> {
        self.number(u64::from(place))
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<(), NoRoom> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        place: u32,
        _: &'static str,
        value: &T,
    ) -> Result<(), NoRoom> {
        self.number(u64::from(place))?;
        value.serialize(self)
    }

    fn serialize_seq(self, length: Option<usize>) -> Result<Self, NoRoom> {
        self.length(length.ok_or(NoRoom)?)?;
        Ok(self)
    }

    fn serialize_tuple(self, _: usize) -> Result<Self, NoRoom> {
        Ok(self)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self, NoRoom> {
        Ok(self)
    }

    fn serialize_tuple_variant(self, _: &'static str, place: u32, _: &'static str, _: usize) -> Result<Self, NoRoom> {
        self.number(u64::from(place))?;
        Ok(self)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, NoRoom> {
        Err(NoRoom)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, NoRoom> {
        Ok(self)
    }

    fn serialize_struct_variant(self, _: &'static str, place: u32, _: &'static str, _: usize) -> Result<Self, NoRoom> {
        self.number(u64::from(place))?;
        Ok(self)
    }

    fn collect_str<T: core::fmt::Display + ?Sized>(self, _: &T) -> Result<(), NoRoom> {
        Err(NoRoom)
    }
}

/// Elements and fields stand one after another, without anything between them.
macro_rules! one_after_another {
    ($($which:ident $method:ident $($key:ty)?;)*) => {$(
        impl ser::$which for &mut Writer<'_> {
            type Ok = ();
            type Error = NoRoom;

            fn $method<T: Serialize + ?Sized>(&mut self, $(_: $key,)? value: &T) -> Result<(), NoRoom> {
                value.serialize(&mut **self)
            }

            fn end(self) -> Result<(), NoRoom> {
                Ok(())
            }
        }
    )*};
}

one_after_another! {
    SerializeSeq serialize_element;
    SerializeTuple serialize_element;
    SerializeTupleStruct serialize_field;
    SerializeTupleVariant serialize_field;
    SerializeStruct serialize_field &'static str;
    SerializeStructVariant serialize_field &'static str;
}
