//! How many connections are open, in all and from one address.
//!
//! Why: a page that anybody on the site's network can reach must not be closed to the others by one who only opens
//! connections. Behind something in front of it that encrypts, all phones have one address: the limit leaves room for them.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

/// Most connections that are open at once.
pub(super) const MOST: usize = 512;
/// Most of them from one address.
pub(super) const MOST_FROM_ONE: usize = 64;

/// The connections that are open, by address.
#[derive(Debug, Default)]
pub(super) struct Doors(Mutex<HashMap<IpAddr, usize>>);

/// A connection that is open until this is dropped.
#[derive(Debug)]
pub(super) struct Inside {
    doors: Arc<Doors>,
    from: IpAddr,
}

impl Doors {
    /// Lets a connection in; `None` where there are too many.
    pub(super) fn enter(self: &Arc<Self>, from: IpAddr) -> Option<Inside> {
        let from = from.to_canonical();
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if open.values().sum::<usize>() >= MOST || open.get(&from).is_some_and(|open| *open >= MOST_FROM_ONE) {
            return None;
        }
        *open.entry(from).or_default() += 1;
        Some(Inside { doors: self.clone(), from })
    }
}

impl Drop for Inside {
    fn drop(&mut self) {
        let mut open = self.doors.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = open.get_mut(&self.from) {
            *count -= 1;
            if *count == 0 {
                open.remove(&self.from);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Doors, MOST, MOST_FROM_ONE};
    use std::net::{IpAddr, Ipv4Addr};
    use std::sync::Arc;

    #[test]
    fn one_address_and_all_together_are_bounded_and_whoever_leaves_makes_room() {
        let doors = Arc::new(Doors::default());
        let from = |last: u8| IpAddr::V4(Ipv4Addr::new(192, 0, 2, last));
        let mut inside: Vec<_> = (0..MOST_FROM_ONE).filter_map(|_| doors.enter(from(1))).collect();
        assert_eq!(inside.len(), MOST_FROM_ONE);
        // the same address in the other family's clothes
        let IpAddr::V4(four) = from(1) else { return };
        assert!(doors.enter(from(1)).is_none() && doors.enter(IpAddr::V6(four.to_ipv6_mapped())).is_none());
        for last in 2..=200 {
            inside.extend((0..MOST_FROM_ONE).filter_map(|_| doors.enter(from(last))));
        }
        assert_eq!(inside.len(), MOST);
        assert!(doors.enter(from(250)).is_none());
        inside.clear();
        assert!(doors.enter(from(1)).is_some());
        assert!(doors.0.lock().is_ok_and(|open| open.is_empty()));
    }
}
