"""What owners and strangers send from outside: measured numbers by a link, and enquiries.

Nothing that comes in here changes an order by itself: the maker takes it over, or does not.
"""
